//! Marks of a sheet set one by one: which lines are like another, for all that lies around them.

use super::problem::{MarksAround, SheetMark};
use crate::tolerance::{LAY_APART, MARKS_ALIKE};

impl MarksAround {
    /// Whether the marks around one line lie as those around another, within a tolerance. A mark at the very end of what
    /// is looked at may be missing around the other.
    pub(super) fn are_alike(&self, line: f64, other: f64, tolerance: f64) -> bool {
        let answered = |line: f64, other: f64| {
            self.around(line, -tolerance).all(|mark| {
                self.around(other, tolerance).any(|like| {
                    mark.sort == like.sort && ((mark.at - line) - (like.at - other)).abs() <= tolerance
                })
            })
        };
        answered(line, other) && answered(other, line)
    }

    /// The line like another that is nearest to a wanted place, among those within a span that pass a test.
    pub(super) fn nearest(
        &self,
        line: f64,
        wanted: f64,
        (low, high): (f64, f64),
        passes: &dyn Fn(f64) -> bool,
    ) -> Option<f64> {
        let mut best: Option<f64> = None;
        let mut consider = |place: f64| {
            let nearer = best.is_none_or(|best: f64| (place - wanted).abs() < (best - wanted).abs());
            let within = (low..=high).contains(&place);
            if nearer && within && self.are_alike(line, place, MARKS_ALIKE) && passes(place) {
                best = Some(place);
            }
        };
        consider(line);
        match self.around(line, 0.0).next() {
            Some(first) => self.marks.iter().for_each(|mark| consider(line + (mark.at - first.at))),
            None => {
                // Plain cloth all around: any place as plain, so the wanted one or one just clear of a mark.
                consider(wanted);
                consider(low);
                consider(high);
                for mark in &self.marks {
                    consider(mark.at - self.reach.1 - LAY_APART);
                    consider(mark.at - self.reach.0 + LAY_APART);
                }
            }
        }
        best
    }

    /// The line nearest to another that has marks around it, within a span: the line itself where it has, else one with a
    /// mark in the middle of what is looked at. Where there are marks, it is they that are to meet.
    pub(super) fn nearest_marked(&self, line: f64, (low, high): (f64, f64)) -> Option<f64> {
        if self.around(line, 0.0).next().is_some() {
            return Some(line);
        }
        let middle = f64::midpoint(self.reach.0, self.reach.1);
        let lines = self.marks.iter().map(|mark| mark.at - middle).filter(|line| (low..=high).contains(line));
        lines.min_by(|a, b| (a - line).abs().total_cmp(&(b - line).abs()))
    }

    /// The marks around a line, looked at a little farther, or less far where that is negative.
    fn around(&self, line: f64, farther: f64) -> impl Iterator<Item = SheetMark> + '_ {
        let (from, to) = (line + self.reach.0 - farther, line + self.reach.1 + farther);
        self.marks.iter().copied().filter(move |mark| mark.at >= from && mark.at <= to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_alike_where_the_marks_around_them_are() {
        let marks = [100.0, 160.0, 400.0, 460.0, 900.0, 980.0].map(|at| SheetMark { at, sort: 0 }).to_vec();
        let around = MarksAround { marks, reach: (-80.0, 40.0) };
        let nearest = |line: f64, wanted: f64| around.nearest(line, wanted, (0.0, 2000.0), &|_| true);
        assert_eq!(nearest(170.0, 500.0), Some(470.0), "two marks 60 mm apart");
        assert_eq!(nearest(170.0, 1000.0), Some(470.0), "those 80 mm apart are not alike");
        assert_eq!(nearest(975.0, 0.0), Some(975.0), "only itself is 80 mm from mark to mark");
        assert_eq!(nearest(990.0, 0.0), Some(110.0), "one mark is in reach of each");
        assert_eq!(nearest(700.0, 1500.0), Some(1500.0), "plain cloth is like plain cloth");
        // Clear of the marks at 400 and 460, below them or above, whichever is nearer.
        for (wanted, clear) in [(420.0, 360.0), (500.0, 540.0)] {
            let beside = nearest(700.0, wanted).expect("a place");
            assert!((beside - clear).abs() < 1.0 && around.are_alike(700.0, beside, MARKS_ALIKE), "{beside}");
        }
    }

    #[test]
    fn only_like_meets_like() {
        let sorts = [(100.0, 0), (400.0, 1), (700.0, 0)];
        let marks = sorts.map(|(at, sort)| SheetMark { at, sort }).to_vec();
        let around = MarksAround { marks, reach: (-50.0, 50.0) };
        assert_eq!(around.nearest(110.0, 420.0, (200.0, 2000.0), &|_| true), Some(710.0));
        assert_eq!(
            around.nearest(390.0, 900.0, (0.0, 2000.0), &|_| true),
            Some(390.0),
            "there is none like it"
        );
    }
}
