//! Days and hours as they are shown, everywhere: by the order and the clock of those who read them.

use jiff::civil::{Date, DateTime, Time};

/// In which order a day is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Order {
    /// 12 Oct 2027; 12.10.2027, 12/10/2027.
    #[default]
    DayFirst,
    /// Oct 12, 2027; 10/12/2027, as in the United States.
    MonthFirst,
}

impl Order {
    /// Both, in the order of menus.
    pub const ALL: [Self; 2] = [Self::DayFirst, Self::MonthFirst];

    /// "day-first" or "month-first", as in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::DayFirst => "day-first",
            Self::MonthFirst => "month-first",
        }
    }
}

/// How hours are counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Clock {
    /// 19:30.
    #[default]
    Of24,
    /// 7:30 pm.
    Of12,
}

impl Clock {
    /// Both, in the order of menus.
    pub const ALL: [Self; 2] = [Self::Of24, Self::Of12];

    /// "24-hours" or "12-hours", as in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Of24 => "24-hours",
            Self::Of12 => "12-hours",
        }
    }
}

/// How days and hours are shown. Whoever knows the machine makes one at the edge; [`crate::library::Library::days`] is that one with
/// what the orchestra has chosen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Days {
    /// Day or month first.
    pub order: Order,
    /// 24 or 12 hours.
    pub clock: Clock,
    /// The day it is, where that is known: days of its year are shown without the year.
    pub today: Option<Date>,
}

impl Days {
    /// What stays when it is read in another year, on paper and in files: the year is always shown.
    #[must_use]
    pub const fn lasting(self) -> Self {
        Self { today: None, ..self }
    }

    fn has_year(self, day: Date) -> bool {
        self.today.is_none_or(|today| today.year() != day.year())
    }

    /// "12 Oct 2027", "Oct 12, 2027"; without the year where it is this one's.
    pub fn day(self, day: Date) -> String {
        let form = match (self.order, self.has_year(day)) {
            (_, false) => return self.short(day),
            (Order::DayFirst, true) => "%-d %b %Y",
            (Order::MonthFirst, true) => "%b %-d, %Y",
        };
        day.strftime(form).to_string()
    }

    /// "Tue 12 Oct 2027", "Tue Oct 12, 2027"; without the year where it is this one's.
    pub fn weekday(self, day: Date) -> String {
        format!("{} {}", day.strftime("%a"), self.day(day))
    }

    /// "Tuesday 12 October 2027", "Tuesday, October 12, 2027"; without the year where it is this one's.
    pub fn long(self, day: Date) -> String {
        let form = match (self.order, self.has_year(day)) {
            (Order::DayFirst, true) => "%A %-d %B %Y",
            (Order::DayFirst, false) => "%A %-d %B",
            (Order::MonthFirst, true) => "%A, %B %-d, %Y",
            (Order::MonthFirst, false) => "%A, %B %-d",
        };
        day.strftime(form).to_string()
    }

    /// "12 Oct", "Oct 12": a day of a programme, whose year is plain.
    pub fn short(self, day: Date) -> String {
        let form = match self.order {
            Order::DayFirst => "%-d %b",
            Order::MonthFirst => "%b %-d",
        };
        day.strftime(form).to_string()
    }

    /// "Tue 12 Oct", "Tue Oct 12".
    pub fn short_weekday(self, day: Date) -> String {
        format!("{} {}", day.strftime("%a"), self.short(day))
    }

    /// From a day to another: "12–15 Oct 2027", "30 Sep – 2 Oct 2027", "Oct 12–15, 2027"; without the year where it is this one's.
    pub fn dates(self, first: Date, last: Date) -> String {
        if first.year() != last.year() {
            let always = self.lasting();
            return format!("{} – {}", always.day(first), always.day(last));
        }
        let days = match self.order {
            _ if first == last => return self.day(first),
            _ if first.month() != last.month() => format!("{} – {}", self.short(first), self.short(last)),
            Order::DayFirst => format!("{}–{}", first.day(), self.short(last)),
            Order::MonthFirst => format!("{}–{}", self.short(first), last.day()),
        };
        match self.order {
            _ if !self.has_year(last) => days,
            Order::DayFirst => format!("{days} {}", last.year()),
            Order::MonthFirst => format!("{days}, {}", last.year()),
        }
    }

    /// "19:30", "7:30 pm".
    pub fn hour(self, time: Time) -> String {
        let form = match self.clock {
            Clock::Of24 => "%H:%M",
            Clock::Of12 => "%-I:%M %P",
        };
        time.strftime(form).to_string()
    }

    /// "12 Oct, 19:30", "Oct 12, 7:30 pm": a moment of a programme, whose year is plain.
    pub fn at(self, moment: DateTime) -> String {
        format!("{}, {}", self.short(moment.date()), self.hour(moment.time()))
    }

    /// "Tue 12 Oct, 19:30", "Tue Oct 12, 7:30 pm".
    pub fn weekday_at(self, moment: DateTime) -> String {
        format!("{}, {}", self.short_weekday(moment.date()), self.hour(moment.time()))
    }

    /// "Tue 12 Oct 2027, 19:30", "Tue Oct 12, 2027, 7:30 pm"; without the year where it is this one's.
    pub fn whole(self, moment: DateTime) -> String {
        format!("{}, {}", self.weekday(moment.date()), self.hour(moment.time()))
    }

    /// "19:30–22:00", "7:30 pm–10:00 pm".
    pub fn hours(self, from: DateTime, to: DateTime) -> String {
        format!("{}–{}", self.hour(from.time()), self.hour(to.time()))
    }

    /// "Tue 12 Oct, 19:30–22:00", "Tue Oct 12, 7:30 pm–10:00 pm".
    pub fn span(self, from: DateTime, to: DateTime) -> String {
        format!("{}, {}", self.short_weekday(from.date()), self.hours(from, to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn all(days: Days) -> Vec<String> {
        let at = date(2027, 10, 12).at(19, 30, 0, 0);
        let day = at.date();
        vec![
            days.day(day),
            days.weekday(day),
            days.long(day),
            days.short(day),
            days.short_weekday(day),
            days.hour(at.time()),
            days.at(at),
            days.weekday_at(at),
            days.whole(at),
            days.hours(at, date(2027, 10, 12).at(22, 5, 0, 0)),
            days.span(at, date(2027, 10, 12).at(22, 5, 0, 0)),
        ]
    }

    // 12 October 2027 is a Tuesday (ISO 8601 week date 2027-W41-2).
    #[test]
    fn as_in_britain() {
        let expected = [
            "12 Oct 2027",
            "Tue 12 Oct 2027",
            "Tuesday 12 October 2027",
            "12 Oct",
            "Tue 12 Oct",
            "19:30",
            "12 Oct, 19:30",
            "Tue 12 Oct, 19:30",
            "Tue 12 Oct 2027, 19:30",
            "19:30–22:05",
            "Tue 12 Oct, 19:30–22:05",
        ];
        assert_eq!(all(Days::default()), expected);
    }

    #[test]
    fn as_in_the_united_states() {
        let expected = [
            "Oct 12, 2027",
            "Tue Oct 12, 2027",
            "Tuesday, October 12, 2027",
            "Oct 12",
            "Tue Oct 12",
            "7:30 pm",
            "Oct 12, 7:30 pm",
            "Tue Oct 12, 7:30 pm",
            "Tue Oct 12, 2027, 7:30 pm",
            "7:30 pm–10:05 pm",
            "Tue Oct 12, 7:30 pm–10:05 pm",
        ];
        assert_eq!(all(Days { order: Order::MonthFirst, clock: Clock::Of12, today: None }), expected);
    }

    #[test]
    fn spans_of_days_say_each_thing_once() {
        let days = |year, from: (i8, i8), to: (i16, i8, i8)| {
            let (first, last) = (date(2027, from.0, from.1), date(to.0, to.1, to.2));
            let today = Some(date(year, 1, 3));
            Order::ALL.map(|order| Days { order, today, ..Days::default() }.dates(first, last))
        };
        assert_eq!(days(2026, (10, 12), (2027, 10, 15)), ["12–15 Oct 2027", "Oct 12–15, 2027"]);
        assert_eq!(days(2027, (10, 12), (2027, 10, 15)), ["12–15 Oct", "Oct 12–15"]);
        assert_eq!(days(2026, (9, 30), (2027, 10, 2)), ["30 Sep – 2 Oct 2027", "Sep 30 – Oct 2, 2027"]);
        assert_eq!(days(2027, (10, 12), (2027, 10, 12)), ["12 Oct", "Oct 12"]);
        // The same month of another year is no span of three days.
        let across = ["12 Oct 2027 – 15 Oct 2028", "Oct 12, 2027 – Oct 15, 2028"];
        assert_eq!(days(2027, (10, 12), (2028, 10, 15)), across);
    }

    #[test]
    fn midnight_and_noon_have_twelve_hours() {
        let days = Days { clock: Clock::Of12, ..Days::default() };
        let hour = |hour, minute| days.hour(Time::constant(hour, minute, 0, 0));
        assert_eq!([hour(0, 5), hour(9, 0), hour(12, 0)], ["12:05 am", "9:00 am", "12:00 pm"]);
    }

    #[test]
    fn years_are_shown_where_they_are_not_this_ones() {
        for order in Order::ALL {
            let here = Days { order, today: Some(date(2027, 1, 3)), ..Days::default() };
            let (this, next) = (date(2027, 10, 12), date(2028, 10, 12));
            for show in [Days::day, Days::weekday, Days::long] {
                assert!(!show(here, this).contains("2027"), "{}", show(here, this));
                assert!(show(here, next).contains("2028"), "{}", show(here, next));
                assert!(show(here.lasting(), this).contains("2027"), "on paper");
            }
        }
    }
}
