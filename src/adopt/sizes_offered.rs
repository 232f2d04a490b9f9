//! The sizes that lie one in another in a drawing, to be chosen from.

use crate::adopt::beside::allowances;
use crate::adopt::found::Found;
use crate::adopt::look::StyleId;
use crate::adopt::outlines::FoundOutline;
use crate::adopt::size::SizeChoice;
use crate::adopt::sizes::{NESTED, common};
use crate::drawing::Note;

/// A size to be chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct OfferedSize {
    /// How it is chosen.
    pub choice: SizeChoice,
    /// Its outlines, as indices; none of a layer that is switched off.
    pub outlines: Vec<usize>,
    /// The kind of line that most of them are drawn with.
    pub style: Option<StyleId>,
}

/// By what sizes are told apart.
#[derive(Clone, Copy)]
enum By {
    Layer,
    Style,
}

impl By {
    /// What an outline is of; none where it is of none.
    fn of(self, outline: &FoundOutline) -> Option<SizeChoice> {
        match self {
            By::Layer if outline.layer.is_empty() => None,
            By::Layer => Some(SizeChoice::Layer(outline.layer.clone())),
            By::Style => Some(SizeChoice::Style(outline.style.number())),
        }
    }
}

/// The sizes of a drawing of which none was chosen, the smallest first; none where it has no more than one.
#[must_use]
pub fn offered_sizes(found: &Found) -> Vec<OfferedSize> {
    if found.size.is_some() {
        return Vec::new();
    }
    let mut sizes = told_apart(found, By::Layer);
    if sizes.len() < 2 {
        sizes = told_apart(found, By::Style);
        return if sizes.len() < 2 { Vec::new() } else { sizes };
    }
    let hidden = found.notes.iter().filter_map(|note| match note {
        Note::HiddenLayers { names } => Some(names),
        _ => None,
    });
    sizes.extend(hidden.flatten().map(|name| OfferedSize {
        choice: SizeChoice::Layer(name.clone()),
        outlines: Vec::new(),
        style: None,
    }));
    sizes
}

fn told_apart(found: &Found, by: By) -> Vec<OfferedSize> {
    let outlines = &found.outlines;
    let is_check = |at: usize| found.scale.checks.iter().any(|check| check.letter == outlines[at].letter);
    let all: Vec<usize> =
        (0..outlines.len()).filter(|at| !is_check(*at) && found.frame != Some(*at)).collect();
    // A seamline within a line that is cut is no other size.
    let is_both_lines = |inner: usize, outer: usize| {
        outlines[inner].inside == Some(outer)
            && allowances(&outlines[inner].edges, &outlines[outer].edges).is_some()
    };
    let is_nested = |at: usize| {
        let own = by.of(&outlines[at]);
        own.is_some()
            && all.iter().any(|other| {
                *other != at
                    && by.of(&outlines[*other]).is_some_and(|kind| Some(kind) != own)
                    && common(outlines[at].bounds(), outlines[*other].bounds()) > NESTED
                    && !is_both_lines(at, *other)
                    && !is_both_lines(*other, at)
            })
    };
    let mut sizes: Vec<OfferedSize> = Vec::new();
    for at in all.iter().copied().filter(|at| is_nested(*at)) {
        let Some(choice) = by.of(&outlines[at]) else { continue };
        match sizes.iter_mut().find(|size| size.choice == choice) {
            Some(size) => size.outlines.push(at),
            None => sizes.push(OfferedSize { choice, outlines: vec![at], style: Some(outlines[at].style) }),
        }
    }
    let area = |size: &OfferedSize| {
        let all = size.outlines.iter().map(|at| outlines[*at].ring.area());
        all.sum::<f64>() / size.outlines.len().max(1) as f64
    };
    sizes.sort_by(|a, b| area(a).total_cmp(&area(b)));
    sizes
}
