//! Where discs and numbered rings go on the plan, so that they cover each other as little as may be.

/// Everything here is in millimetres on paper, from the top left of the plan.
pub(crate) type Mm = [f64; 2];

/// A disc's or ring's place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Mark {
    /// Its middle.
    pub(crate) at: Mm,
    /// Half its width and half its height.
    pub(crate) half: Mm,
}

impl Mark {
    /// Whether its middle is that place, to a hundredth of a millimetre.
    fn is_at(&self, place: Mm) -> bool {
        self.at.iter().zip(place).all(|(a, b)| (a - b).abs() < 0.01)
    }

    /// How deep two marks cover each other, with `gap` wished for between them; 0 when they do not.
    fn cover(&self, other: &Self, gap: f64) -> f64 {
        let deep = |i: usize| self.half[i] + other.half[i] + gap - (self.at[i] - other.at[i]).abs();
        deep(0).min(deep(1)).max(0.0)
    }
}

/// What wants a mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Wish {
    /// Its true place.
    pub(crate) at: Mm,
    /// Half the mark's width and height.
    pub(crate) half: Mm,
    /// What it marks.
    pub(crate) marks: Marked,
}

/// What a mark stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Marked {
    /// A player: the mark is the thing.
    Person,
    /// A small thing on another one, whose outline it shares.
    Carried,
    /// Words about a place: on free floor near to it.
    Label,
    /// A thing with half its footprint along x and y of the page.
    Thing(Mm),
}

impl Wish {
    /// Half the footprint.
    fn footprint(&self) -> Mm {
        if let Marked::Thing(half) = self.marks { half } else { [0.0, 0.0] }
    }

    /// Whether the mark fits into the footprint; without one it is always at home.
    fn fits_inside(&self) -> bool {
        let half = self.footprint();
        !matches!(self.marks, Marked::Thing(_)) || (0..2).all(|i| self.half[i] <= half[i] + 0.35)
    }
}

/// The marks of one plan as they are placed, one after another.
#[derive(Clone, Debug)]
pub(crate) struct Marks {
    size: Mm,
    placed: Vec<Mark>,
    footprints: Vec<Mark>,
}

impl Marks {
    /// For a plan of `size`, with the footprints of all things on it.
    pub(crate) fn new(size: Mm, footprints: Vec<Mark>) -> Self {
        Self { size, placed: Vec::new(), footprints }
    }

    /// The best place for a mark; it is taken from then on.
    pub(crate) fn place(&mut self, wish: Wish) -> Mark {
        let best = candidates(wish).into_iter().map(|(at, shift)| {
            let mark = Mark { at, half: wish.half };
            (self.cost(&mark, wish, shift), mark)
        });
        let mark = best
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map_or(Mark { at: wish.at, half: wish.half }, |(_, mark)| mark);
        self.placed.push(mark);
        mark
    }

    fn cost(&self, mark: &Mark, wish: Wish, shift: f64) -> f64 {
        let marks: f64 = self.placed.iter().map(|m| m.cover(mark, 0.3)).sum();
        // Standing on somebody else's footprint misleads; on one's own it does not.
        let strangers = self.footprints.iter().filter(|f| wish.marks != Marked::Carried && !f.is_at(wish.at));
        let strange: f64 = strangers.map(|f| f.cover(mark, 0.0)).sum();
        let out: f64 = (0..2)
            .map(|i| {
                (mark.half[i] + 0.4 - mark.at[i]).max(mark.at[i] + mark.half[i] + 0.4 - self.size[i]).max(0.0)
            })
            .sum();
        marks * 40.0 + strange * 4.0 + out * 200.0 + shift
    }
}

/// Around a thing: left first, then right, below, above and between.
const AROUND: [(f64, f64); 8] =
    [(-1.0, 0.0), (1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (-0.8, 0.8), (0.8, 0.8), (-0.8, -0.8), (0.8, -0.8)];

/// Places to try, each with what it costs by itself: the true place, along the footprint, and around it.
fn candidates(wish: Wish) -> Vec<(Mm, f64)> {
    let inside = wish.fits_inside();
    let footprint = wish.footprint();
    // Words stand beside the line that they are about, and over it only where there is no room.
    let home = if wish.marks == Marked::Label { 7.0 } else { 0.0 };
    let mut list = vec![(wish.at, if inside { home } else { 12.0 })];
    let mut push = |x: f64, y: f64, cost: f64| list.push(([wish.at[0] + x, wish.at[1] + y], cost));
    if matches!(wish.marks, Marked::Thing(_)) && inside {
        for part in [-0.3, 0.3, -0.6, 0.6] {
            let room = |i: usize| (footprint[i] - wish.half[i]).max(0.0);
            push(room(0) * part, 0.0, 1.0);
            push(0.0, room(1) * part, 1.0);
        }
    }
    // Around it, each ring of places farther out.
    for (n, out) in [0.8, 2.6, 5.0, 8.0, 11.0].into_iter().enumerate() {
        for (k, (ux, uy)) in AROUND.into_iter().enumerate() {
            let far = |i: usize| footprint[i] + wish.half[i] + out;
            push(ux * far(0), uy * far(1), 5.0 + out * 1.5 + n as f64 + 0.1 * k as f64);
        }
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    const RING: Mm = [2.4, 2.4];

    fn wish(x: f64, y: f64, footprint: Mm) -> Wish {
        Wish { at: [x, y], half: RING, marks: Marked::Thing(footprint) }
    }

    #[test]
    fn a_ring_stays_in_a_footprint_that_holds_it() {
        let mut marks = Marks::new([100.0, 100.0], vec![]);
        assert!(marks.place(wish(50.0, 50.0, [10.0, 5.0])).is_at([50.0, 50.0]));
    }

    #[test]
    fn a_small_thing_has_its_ring_beside_it() {
        let mut marks = Marks::new([100.0, 100.0], vec![]);
        let ring = marks.place(wish(50.0, 50.0, [0.6, 0.6]));
        assert!((ring.at[0] - 50.0).abs() > 3.0 && (ring.at[1] - 50.0).abs() < 1e-9, "{ring:?}");
    }

    #[test]
    fn rings_of_things_in_one_place_do_not_cover_each_other() {
        let mut marks = Marks::new([100.0, 100.0], vec![]);
        let rings: Vec<Mark> = (0..12).map(|_| marks.place(wish(50.0, 50.0, [1.0, 1.0]))).collect();
        for (n, a) in rings.iter().enumerate() {
            assert!(rings.iter().skip(n + 1).all(|b| a.cover(b, 0.0) <= 0.0), "{rings:?}");
        }
    }

    #[test]
    fn nothing_leaves_the_page() {
        let mut marks = Marks::new([100.0, 60.0], vec![]);
        for _ in 0..6 {
            let ring = marks.place(wish(1.0, 59.0, [0.5, 0.5]));
            assert!(ring.at[0] >= 2.4 && ring.at[1] <= 57.6, "{ring:?}");
        }
    }
}
