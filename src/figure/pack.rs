//! Finding room for things on a line: rows for what would overlap, and a small push where rows
//! alone do not do it.

/// Something that wants to stand centred on a coordinate.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wish {
    /// Where it wants its centre.
    pub(super) x: f64,
    /// Its width.
    pub(super) width: f64,
}

/// Where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    /// Its centre.
    pub(super) x: f64,
    /// Its row, from 0.
    pub(super) row: usize,
}

/// Room between two neighbours of a row.
const GAP: f64 = 3.0;
/// A push that nobody notices.
const SLACK: f64 = 7.0;

/// Places wishes, sorted by coordinate, between `left` and `right` without overlap: each in the
/// lowest row where it stands nearly where it wants; when more than `rows` would be needed, in the
/// row where it is pushed least. Further rows are taken only when these are full.
pub(super) fn pack(wishes: &[Wish], left: f64, right: f64, rows: usize) -> Vec<Place> {
    let mut taken: Vec<Row> = Vec::new();
    for (index, wish) in wishes.iter().enumerate() {
        let fits = |row: &Row| row.width + GAP + wish.width <= right - left;
        let start = wish.x - wish.width / 2.0;
        let roomy = taken.iter().position(|row| fits(row) && row.end + GAP <= start + SLACK);
        let least_full = || {
            (0..taken.len())
                .filter(|&row| fits(&taken[row]))
                .min_by(|&a, &b| taken[a].end.total_cmp(&taken[b].end))
        };
        let row = match roomy {
            Some(row) => row,
            None if taken.len() >= rows.max(1) => least_full().unwrap_or(taken.len()),
            None => taken.len(),
        };
        if row == taken.len() {
            taken.push(Row { end: f64::NEG_INFINITY, width: 0.0, members: Vec::new() });
        }
        let row = &mut taken[row];
        row.end = (row.end + GAP).max(start) + wish.width;
        row.width += wish.width + GAP;
        row.members.push(index);
    }
    let mut places = vec![Place { x: 0.0, row: 0 }; wishes.len()];
    for (number, row) in taken.iter().enumerate() {
        let members: Vec<Wish> = row.members.iter().map(|&index| wishes[index]).collect();
        for (&index, x) in row.members.iter().zip(spread(&members, left, right)) {
            places[index] = Place { x, row: number };
        }
    }
    places
}

struct Row {
    end: f64,
    width: f64,
    members: Vec<usize>,
}

/// The centres of one row's members, in order and without overlap, as near to their wishes as can
/// be: neighbours that collide form a block that stands around the mean of its wishes.
fn spread(members: &[Wish], left: f64, right: f64) -> Vec<f64> {
    let mut blocks: Vec<Block> = Vec::new();
    for wish in members {
        let mut block = Block::of(wish, left, right);
        while let Some(last) = blocks.pop_if(|last| last.start + last.width + GAP > block.start) {
            block = last.joined(&block, left, right);
        }
        blocks.push(block);
    }
    let mut centres = Vec::new();
    let mut members = members.iter();
    for block in blocks {
        let mut x = block.start;
        for wish in members.by_ref().take(block.count) {
            centres.push(x + wish.width / 2.0);
            x += wish.width + GAP;
        }
    }
    centres
}

struct Block {
    start: f64,
    width: f64,
    /// The sum of where its members would have it start.
    wanted: f64,
    weight: f64,
    count: usize,
}

impl Block {
    fn of(wish: &Wish, left: f64, right: f64) -> Self {
        Self { start: 0.0, width: wish.width, wanted: wish.x - wish.width / 2.0, weight: 1.0, count: 1 }
            .settled(left, right)
    }

    fn joined(self, next: &Self, left: f64, right: f64) -> Self {
        let offset = self.width + GAP;
        Self {
            start: 0.0,
            width: offset + next.width,
            wanted: self.wanted + next.wanted - next.weight * offset,
            weight: self.weight + next.weight,
            count: self.count + next.count,
        }
        .settled(left, right)
    }

    fn settled(mut self, left: f64, right: f64) -> Self {
        self.start = (self.wanted / self.weight).min(right - self.width).max(left);
        self
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn overlaps(wishes: &[Wish], places: &[Place]) -> bool {
        (0..wishes.len()).any(|a| {
            (0..a).any(|b| {
                places[a].row == places[b].row
                    && (places[a].x - places[b].x).abs() < f64::midpoint(wishes[a].width, wishes[b].width)
            })
        })
    }

    #[test]
    fn what_has_room_stands_where_it_wants() {
        let wishes = [10.0, 50.0, 90.0].map(|x| Wish { x, width: 20.0 });
        let places = pack(&wishes, 0.0, 100.0, 3);
        assert_eq!(places, [10.0, 50.0, 90.0].map(|x| Place { x, row: 0 }));
    }

    #[test]
    fn what_collides_goes_up_a_row() {
        let wishes = [50.0, 51.0, 52.0].map(|x| Wish { x, width: 20.0 });
        let rows: Vec<usize> = pack(&wishes, 0.0, 100.0, 3).iter().map(|p| p.row).collect();
        assert_eq!(rows, [0, 1, 2]);
    }

    #[test]
    fn when_rows_run_out_neighbours_make_way_to_both_sides() {
        let wishes = [Wish { x: 50.0, width: 20.0 }; 2];
        let places = pack(&wishes, 0.0, 100.0, 1);
        assert!((places[0].x - 38.5).abs() < 1e-9 && (places[1].x - 61.5).abs() < 1e-9);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

        #[test]
        fn nothing_overlaps_and_all_stay_inside(
            mut xs in prop::collection::vec((0.0..800.0_f64, 18.0..40.0_f64), 0..150),
            rows in 1_usize..8,
        ) {
            xs.sort_by(|a, b| a.0.total_cmp(&b.0));
            let wishes: Vec<Wish> = xs.iter().map(|&(x, width)| Wish { x, width }).collect();
            let places = pack(&wishes, 0.0, 800.0, rows);
            prop_assert!(!overlaps(&wishes, &places));
            for (wish, place) in wishes.iter().zip(&places) {
                prop_assert!(place.x - wish.width / 2.0 >= -1e-6);
                prop_assert!(place.x + wish.width / 2.0 <= 800.0 + 1e-6);
            }
        }
    }
}
