//! Rows and tabs that are put in another order: by dragging one onto another, or with Alt and the arrows while it has the focus.

use super::tokens::Tokens;
use egui::{Id, Key, Modifiers, Rect, Response, Ui, pos2};

/// One of a list in the hand.
struct Carried {
    list: Id,
    at: usize,
}

/// Which way a list goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// From above to below.
    Down,
    /// From left to right.
    Across,
}

impl Way {
    const fn keys(self) -> (Key, Key) {
        match self {
            Self::Down => (Key::ArrowUp, Key::ArrowDown),
            Self::Across => (Key::ArrowLeft, Key::ArrowRight),
        }
    }
}

/// What is to go where, if this one of a list of `count` was dropped on or moved by its keys. Its sense must be a drag's.
pub fn moved(
    ui: &Ui,
    (list, way): (Id, Way),
    (at, count): (usize, usize),
    response: &Response,
    tokens: &Tokens,
) -> Option<(usize, usize)> {
    response.dnd_set_drag_payload(Carried { list, at });
    if response.dragged() {
        ui.set_cursor_icon(egui::CursorIcon::Grabbing);
    }
    let own = |carried: &Carried| carried.list == list && carried.at != at;
    if let Some(carried) = response.dnd_hover_payload::<Carried>().filter(|carried| own(carried)) {
        // A line where it would come to lie.
        ui.painter().rect_filled(gap(response.rect, way, carried.at < at), 0.0, tokens.accent);
    }
    if let Some(carried) = response.dnd_release_payload::<Carried>().filter(|carried| own(carried)) {
        return Some((carried.at, at));
    }
    if !response.has_focus() {
        return None;
    }
    let (back, forth) = way.keys();
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::ALT, key));
    if pressed(back) {
        return at.checked_sub(1).map(|to| (at, to));
    }
    pressed(forth).then_some((at, at + 1)).filter(|(_, to)| *to < count)
}

/// The line on the side of a row on which what is dropped would come to lie.
fn gap(rect: Rect, way: Way, after: bool) -> Rect {
    let half = 1.0;
    match (way, after) {
        (Way::Down, false) => Rect::from_x_y_ranges(rect.x_range(), rect.top() - half..=rect.top() + half),
        (Way::Down, true) => {
            Rect::from_x_y_ranges(rect.x_range(), rect.bottom() - half..=rect.bottom() + half)
        }
        (Way::Across, false) => {
            Rect::from_min_max(pos2(rect.left() - half, rect.top()), pos2(rect.left() + half, rect.bottom()))
        }
        (Way::Across, true) => Rect::from_min_max(
            pos2(rect.right() - half, rect.top()),
            pos2(rect.right() + half, rect.bottom()),
        ),
    }
}

/// The list with one of it at another place; as it is where there is no such place.
pub fn put<T: Clone>(list: &[T], (from, to): (usize, usize)) -> Vec<T> {
    let mut next = list.to_vec();
    if from < next.len() && to < next.len() {
        let one = next.remove(from);
        next.insert(to, one);
    }
    next
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case((0, 2), "bca")]
    #[case((2, 0), "cab")]
    #[case((1, 1), "abc")]
    #[case((1, 3), "abc")]
    #[case((9, 0), "abc")]
    fn one_goes_and_the_rest_keep_their_order(#[case] by: (usize, usize), #[case] wanted: &str) {
        assert_eq!(put(&['a', 'b', 'c'], by).into_iter().collect::<String>(), wanted);
    }
}
