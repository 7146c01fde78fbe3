//! The largest scale at which a plan fits on its paper.

use crate::sheet::{Orientation, Paper};

use super::PlanScale;

/// Left (holes) and right margin together, millimetres.
const SIDES_MM: f64 = 32.0;
/// Head, foot, scale bar and signs of a page with a plan, millimetres.
const AROUND_MM: f64 = 62.0;
/// A scale of so much less is given up so that all of a small plan shares one page: a step of the usual scales.
const ONE_STEP: f64 = 1.36;
/// An upright plan leaves room for its key: at most this part of the paper's height.
const UPRIGHT_SHARE: f64 = 0.5;
/// The usual scales of a stage plan, largest first (common practice of stage and building plans).
const USUAL: [u32; 10] = [20, 25, 40, 50, 60, 75, 80, 100, 125, 150];

/// Where a plan goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Fit {
    /// One millimetre on paper is so many millimetres of floor.
    pub(crate) scale: u32,
    /// Whether the paper lies across.
    pub(crate) across: bool,
    /// What it is set on: larger than what was asked for where a wished scale needs that.
    pub(crate) paper: Paper,
}

/// The room for a plan, millimetres, with so many more kept for what shares its page.
fn room(paper: Paper, across: bool, more_mm: f64) -> (f64, f64) {
    let (short, long) = paper.size_mm();
    let around = AROUND_MM + more_mm;
    let (wide, high) = if across {
        (long - SIDES_MM, short - around)
    } else {
        (short - SIDES_MM, (long * UPRIGHT_SHARE).min(long - around))
    };
    (wide, high.max(1.0))
}

/// Scale and orientation for a floor of `size` metres (width, depth).
///
/// The larger scale comes first; where both are as large, upright, because key and plan then share a page. A wished scale
/// goes before the size of the paper, and is given up only where it fits on none. What follows a small plan on its page takes
/// `more_mm`: they share the page where that costs no more than one step of scale.
pub(crate) fn fit(
    size: (f64, f64),
    paper: Paper,
    (wish, orientation): (PlanScale, Orientation),
    more_mm: f64,
) -> Fit {
    let alone = fit_in(size, paper, (wish, orientation), 0.0);
    if more_mm <= 0.0 {
        return alone;
    }
    let shared = fit_in(size, paper, (wish, orientation), more_mm);
    let near = f64::from(shared.scale) <= f64::from(alone.scale) * ONE_STEP && shared.paper == alone.paper;
    if near { shared } else { alone }
}

fn fit_in(
    size: (f64, f64),
    paper: Paper,
    (wish, orientation): (PlanScale, Orientation),
    more_mm: f64,
) -> Fit {
    let ways: &[bool] = match orientation {
        Orientation::Auto => &[false, true],
        Orientation::Upright => &[false],
        Orientation::Across => &[true],
    };
    let needed_on = |paper: Paper, across: bool| needed(size, room(paper, across, more_mm));
    if let PlanScale::OneTo(scale) = wish {
        let papers = std::iter::successors(Some(paper), |paper| paper.larger());
        let mut tries = papers.flat_map(|paper| ways.iter().map(move |across| (paper, *across)));
        let fits =
            |&(paper, across): &(Paper, bool)| scale > 0 && needed_on(paper, across) <= f64::from(scale);
        if let Some((paper, across)) = tries.find(fits) {
            return Fit { scale, across, paper };
        }
    }
    let best = ways.iter().map(|across| (round(needed_on(paper, *across)), *across)).min();
    let (scale, across) = best.unwrap_or((USUAL[0], false));
    Fit { scale, across, paper }
}

/// The round scale for a drawing of `size` metres in a room of so many millimetres.
pub(crate) fn scale_in(size: (f64, f64), room: (f64, f64)) -> u32 {
    round(needed(size, room))
}

/// Metres a metre of paper; a hair is forgiven, so that a floor of just the paper's width is not set smaller.
fn needed(size: (f64, f64), room: (f64, f64)) -> f64 {
    (size.0 / room.0).max(size.1 / room.1) * 1000.0 - 1e-6
}

/// The largest round scale that is no larger than what is needed.
fn round(needed: f64) -> u32 {
    USUAL.iter().copied().find(|scale| needed <= f64::from(*scale)).unwrap_or_else(|| beyond(needed))
}

/// The next multiple of 25 at or above `needed`.
fn beyond(needed: f64) -> u32 {
    let steps = (needed / 25.0).ceil().clamp(1.0, 1e6);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held between 1 and a million"
    )]
    let steps = steps as u32;
    steps * 25
}

/// So many whole metres measure so many whole millimetres: the smallest such pair, to prove a print with a ruler.
pub(crate) fn proof(scale: u32) -> (u32, u32) {
    (1..=scale).find(|m| (m * 1000) % scale == 0).map_or((scale, 1000), |m| (m, m * 1000 / scale))
}

/// The length of the scale bar in metres: the longest round figure that stays within 85 mm.
pub(crate) fn bar_metres(scale: u32) -> u32 {
    const ROUND: [u32; 10] = [2, 4, 5, 6, 8, 10, 20, 50, 100, 200];
    ROUND.iter().rev().copied().find(|m| m * 1000 <= scale * 85).unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    #[rstest]
    #[case::small((6.0, 4.0), 40, false)]
    #[case::just_at_fifty((8.9, 7.0), 50, false)]
    #[case::of_the_picture((13.35, 7.0), 60, true)]
    #[case::larger_across((17.0, 10.0), 75, true)]
    #[case::across((20.0, 12.0), 100, true)]
    #[case::deep((8.0, 14.0), 100, false)]
    #[case::wide_beyond((30.0, 15.0), 125, true)]
    #[case::vast((60.0, 40.0), 275, true)]
    fn largest_scale_that_fits_a4(#[case] size: (f64, f64), #[case] scale: u32, #[case] across: bool) {
        assert_eq!(
            fit(size, Paper::A4, (PlanScale::Largest, Orientation::Auto), 0.0),
            Fit { scale, across, paper: Paper::A4 }
        );
    }

    #[test]
    fn what_follows_shares_the_page_where_that_costs_a_step_at_most() {
        let of =
            |more_mm| fit((13.35, 7.0), Paper::A4, (PlanScale::Largest, Orientation::Auto), more_mm).scale;
        assert_eq!((of(0.0), of(20.0), of(40.0), of(200.0)), (60, 60, 75, 60));
    }

    #[rstest]
    #[case::with_room_to_spare(200, Paper::A4, (200, false, Paper::A4))]
    #[case::across(60, Paper::A4, (60, true, Paper::A4))]
    #[case::on_the_next_paper(50, Paper::A4, (50, true, Paper::A3))]
    #[case::on_the_one_after_that(25, Paper::A4, (25, true, Paper::A2))]
    #[case::on_the_larger_american_one(50, Paper::Letter, (50, true, Paper::Tabloid))]
    #[case::on_none(20, Paper::A4, (60, true, Paper::A4))]
    #[case::of_nothing(0, Paper::A4, (60, true, Paper::A4))]
    fn a_wished_scale(
        #[case] wish: u32,
        #[case] paper: Paper,
        #[case] (scale, across, on): (u32, bool, Paper),
    ) {
        let fit = fit((13.35, 7.0), paper, (PlanScale::OneTo(wish), Orientation::Auto), 0.0);
        assert_eq!(fit, Fit { scale, across, paper: on });
    }

    #[rstest]
    #[case(50, (1, 20), 4)]
    #[case(60, (3, 50), 5)]
    #[case(75, (3, 40), 6)]
    #[case(100, (1, 10), 8)]
    #[case(125, (1, 8), 10)]
    #[case(325, (13, 40), 20)]
    fn proof_and_bar(#[case] scale: u32, #[case] expected: (u32, u32), #[case] bar: u32) {
        assert_eq!(proof(scale), expected);
        assert_eq!(bar_metres(scale), bar);
    }
}
