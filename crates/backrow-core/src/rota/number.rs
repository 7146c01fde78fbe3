//! Numbers of things, a type for each thing, and lists that take only the numbers they are for.
//!
//! The searches live on lists of numbers. A player's number in a list of lines does not compile. A number outside its list
//! panics: that is a fault of the program, and an answer made of it would be a wrong one that nobody notices.

use std::marker::PhantomData;
use std::ops::{Deref, DerefMut, Index, IndexMut};

/// A number that counts one sort of thing from 0.
pub trait Number: Copy + Ord {
    /// The thing that stands at `place`, from 0.
    fn of(place: usize) -> Self;
    /// Where it stands, from 0.
    fn place(self) -> usize;
}

macro_rules! numbers {
    ($($(#[$doc:meta])* $vis:vis $name:ident)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        $vis struct $name(
            /// Counted from 0.
            pub usize,
        );

        impl Number for $name {
            fn of(place: usize) -> Self {
                Self(place)
            }

            fn place(self) -> usize {
                self.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }
    )*};
}

numbers! {
    /// A line of a problem.
    pub LineNo
    /// A passage of a line.
    pub PassageNo
    /// A player: first those available, then the extras.
    pub PlayerNo
    /// A key that lines on one instrument share.
    pub InstrumentNo
    /// A key that passages with the same beaters share.
    pub BeatersNo
    /// A key that the lines of one strand share.
    pub StrandNo
    /// A standing place of a problem.
    pub PlaceNo
    /// A stance: a row of what is needed from it.
    pub StanceNo
    /// A demand, in the order of [`super::Rota::demands`].
    pub(super) DemandNo
    /// A node of the graph: a line, or lines kept together.
    pub(super) NodeNo
    /// A group of nodes.
    pub(super) GroupNo
    /// A node in the order of time.
    pub(super) ItemNo
    /// A spot on the floor where somebody stands.
    pub(super) SpotNo
}

/// A list whose places are counted by `N`.
pub struct List<N, T> {
    all: Vec<T>,
    counted_by: PhantomData<fn(N) -> N>,
}

impl<N: Number, T> List<N, T> {
    /// An empty list.
    pub const fn new() -> Self {
        Self { all: Vec::new(), counted_by: PhantomData }
    }

    /// `count` copies of a value.
    pub fn filled(value: T, count: usize) -> Self
    where
        T: Clone,
    {
        vec![value; count].into()
    }

    /// One value for each of `count` numbers.
    pub fn made(count: usize, value: impl FnMut(N) -> T) -> Self {
        (0..count).map(N::of).map(value).collect()
    }

    /// Adds a value at the end and gives its number.
    pub fn push(&mut self, value: T) -> N {
        self.all.push(value);
        N::of(self.all.len() - 1)
    }

    /// The value at a number that may lie outside the list.
    pub fn find(&self, number: N) -> Option<&T> {
        self.all.get(number.place())
    }

    /// Every number of the list.
    pub fn numbers(&self) -> impl DoubleEndedIterator<Item = N> + ExactSizeIterator + use<N, T> {
        (0..self.all.len()).map(N::of)
    }

    /// Every number with its value.
    pub fn entries(&self) -> impl DoubleEndedIterator<Item = (N, &T)> + ExactSizeIterator {
        self.all.iter().enumerate().map(|(place, value)| (N::of(place), value))
    }

    /// Every number with its value, to be changed.
    pub fn entries_mut(&mut self) -> impl Iterator<Item = (N, &mut T)> {
        self.all.iter_mut().enumerate().map(|(place, value)| (N::of(place), value))
    }
}

impl<N: Number, T> Index<N> for List<N, T> {
    type Output = T;

    #[track_caller]
    #[expect(clippy::indexing_slicing, reason = "a number outside its list is a fault that must not pass")]
    fn index(&self, number: N) -> &T {
        &self.all[number.place()]
    }
}

impl<N: Number, T> IndexMut<N> for List<N, T> {
    #[track_caller]
    #[expect(clippy::indexing_slicing, reason = "a number outside its list is a fault that must not pass")]
    fn index_mut(&mut self, number: N) -> &mut T {
        &mut self.all[number.place()]
    }
}

impl<N, T> Deref for List<N, T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.all
    }
}

impl<N, T> DerefMut for List<N, T> {
    fn deref_mut(&mut self) -> &mut [T] {
        &mut self.all
    }
}

impl<N, T> From<Vec<T>> for List<N, T> {
    fn from(all: Vec<T>) -> Self {
        Self { all, counted_by: PhantomData }
    }
}

impl<N, T> FromIterator<T> for List<N, T> {
    fn from_iter<I: IntoIterator<Item = T>>(values: I) -> Self {
        Vec::from_iter(values).into()
    }
}

impl<N, T> Extend<T> for List<N, T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, values: I) {
        self.all.extend(values);
    }
}

impl<'a, N, T> IntoIterator for &'a List<N, T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.all.iter()
    }
}

impl<'a, N, T> IntoIterator for &'a mut List<N, T> {
    type Item = &'a mut T;
    type IntoIter = std::slice::IterMut<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.all.iter_mut()
    }
}

impl<N, T> IntoIterator for List<N, T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.all.into_iter()
    }
}

impl<N, T> Default for List<N, T> {
    fn default() -> Self {
        Vec::new().into()
    }
}

impl<N, T: std::fmt::Debug> std::fmt::Debug for List<N, T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.all.fmt(f)
    }
}

impl<N, T: Clone> Clone for List<N, T> {
    fn clone(&self) -> Self {
        self.all.clone().into()
    }
}

impl<N, T: PartialEq> PartialEq for List<N, T> {
    fn eq(&self, other: &Self) -> bool {
        self.all == other.all
    }
}

impl<N, T: Eq> Eq for List<N, T> {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_counts_by_its_own_numbers() {
        let mut list: List<LineNo, &str> = List::new();
        let first = list.push("a");
        list.push("b");
        list[first] = "c";
        assert_eq!(list.entries().collect::<Vec<_>>(), [(LineNo(0), &"c"), (LineNo(1), &"b")]);
        assert_eq!(list.find(LineNo(2)), None);
    }

    #[test]
    #[should_panic(expected = "index out of bounds")]
    fn a_number_outside_its_list_is_never_silent() {
        let list: List<LineNo, u8> = List::filled(0, 2);
        let _ = list[LineNo(2)];
    }

    #[test]
    #[should_panic(expected = "index out of bounds")]
    fn nothing_is_written_outside_a_list() {
        let mut list: List<LineNo, u8> = List::filled(0, 2);
        list[LineNo(2)] = 1;
    }

    #[test]
    fn lists_are_shown_compared_and_counted() {
        let list: List<LineNo, u8> = vec![3, 5].into();
        assert_eq!(format!("{list:?} {}", LineNo(4)), "[3, 5] 4");
        let mut more = list.clone();
        more.extend([7]);
        assert!(list != more && more.len() == 3 && list == List::from_iter([3, 5]));
        assert_eq!(more.numbers().map(|n| n.0).collect::<Vec<_>>(), [0, 1, 2]);
        more.entries_mut().for_each(|(n, value)| *value += u8::try_from(n.0).unwrap());
        (&mut more).into_iter().for_each(|value| *value *= 2);
        assert_eq!((&more).into_iter().copied().collect::<Vec<u8>>(), [6, 12, 18]);
        assert_eq!(List::<LineNo, usize>::made(3, |n| n.0 * 2).into_iter().collect::<Vec<_>>(), [0, 2, 4]);
        assert_eq!((List::<LineNo, u8>::default().len(), List::<LineNo, u8>::new().push(9)), (0, LineNo(0)));
    }
}
