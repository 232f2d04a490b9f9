//! Pages that show the drawing small: a map of the pages, an overview of the pieces.

use std::collections::HashMap;

use kurbo::{BezPath, Vec2};

use super::shapes::described;
use crate::drawing::common::rectangle;
use crate::drawing::drawn::{Drawn, DrawnPage};
use crate::tolerance::SAME_FORM;

/// Lines of a page that are looked at.
const MOST: usize = 300;

/// Forms of one sort that a line is held against.
const MOST_OF_A_SORT: usize = 200;

/// Lines with fewer parts are like too many others.
const LEAST_PARTS: usize = 4;

/// How much smaller than true a line must be to be one of an overview.
const SMALLER: f64 = 0.9;

/// Whether a page shows what other pages do, at a smaller scale: over half of its lines that have a form of their own.
pub(super) fn is_overview(page: &DrawnPage, others: &[&DrawnPage]) -> bool {
    let own: Vec<Form> = forms(page).take(MOST).collect();
    let mut known: HashMap<&[u8], Vec<Form>> =
        own.iter().map(|form| (form.kinds.as_slice(), Vec::new())).collect();
    for form in others.iter().flat_map(|other| forms(other)) {
        if let Some(of_sort) =
            known.get_mut(form.kinds.as_slice()).filter(|forms| forms.len() < MOST_OF_A_SORT)
        {
            of_sort.push(form);
        }
    }
    let is_small = |form: &&Form| {
        known
            .get(form.kinds.as_slice())
            .is_some_and(|forms| forms.iter().any(|true_one| form.is_small(true_one)))
    };
    let small = own.iter().filter(is_small).count();
    small > 0 && 2 * small > own.len()
}

/// A line as it would be if it were of size 1.
struct Form {
    kinds: Vec<u8>,
    points: Vec<Vec2>,
    size: f64,
}

impl Form {
    fn of(path: &BezPath) -> Option<Form> {
        let size = path.control_box().size().to_vec2().hypot();
        let (kinds, points) = described(path);
        (kinds.len() >= LEAST_PARTS && size > 0.0 && rectangle(path).is_none()).then(|| Form {
            kinds,
            points: points.into_iter().map(|point| point / size).collect(),
            size,
        })
    }

    /// Whether it is another one drawn smaller.
    fn is_small(&self, other: &Form) -> bool {
        let alike = |(one, other): (&Vec2, &Vec2)| (*one - *other).hypot() <= SAME_FORM;
        self.size < SMALLER * other.size && self.points.iter().zip(&other.points).all(alike)
    }
}

fn forms(page: &DrawnPage) -> impl Iterator<Item = Form> {
    page.things.iter().filter_map(|thing| match &thing.what {
        Drawn::Shape { path, .. } => Form::of(path),
        _ => None,
    })
}
