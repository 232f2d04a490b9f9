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
    let kinds: Vec<(usize, SizeChoice)> = (0..outlines.len())
        .filter(|at| !is_check(*at))
        .filter_map(|at| Some((at, by.of(&outlines[at])?)))
        .collect();
    // Next sizes may lie as evenly in each other as a seamline in its cutting line: they count as well.
    let beside =
        |at: usize, kind: &SizeChoice, among: &dyn Fn(&SizeChoice) -> bool| -> Vec<&(usize, SizeChoice)> {
            let others = kinds.iter().filter(|(_, of)| of != kind && among(of));
            others.filter(|(other, _)| lie_in_one_another(found, at, *other)).collect()
        };
    let mut sizes = SizesFound::default();
    let mut between = Vec::new();
    for (at, kind) in &kinds {
        let others = beside(*at, kind, &|_| true);
        match others.iter().all(|(other, _)| are_both_lines(found, *at, *other)) {
            true => between.push((*at, kind)),
            false => sizes.add(found, *at, kind, &others),
        }
    }
    // Evenly graded, each of two sizes may be the seamline of the next: the one between two that are told apart is a size too.
    let ends: Vec<SizeChoice> = sizes.0.iter().map(|(size, _)| size.choice.clone()).collect();
    for (at, kind) in between.into_iter().filter(|(_, kind)| !ends.contains(kind)) {
        let others = beside(at, kind, &|of| ends.contains(of));
        if others.iter().any(|(_, of)| *of != others[0].1) {
            sizes.add(found, at, kind, &others);
        }
    }
    let mut sizes = sizes.0;
    sizes.sort_by(|a, b| a.1.share().total_cmp(&b.1.share()));
    sizes.into_iter().map(|(size, _)| size).collect()
}

/// Sizes as they are found, each with how it compares with the others.
#[derive(Default)]
struct SizesFound(Vec<(OfferedSize, Compared)>);

impl SizesFound {
    /// Adds an outline of a size that lies in those of others, or they in it.
    fn add(&mut self, found: &Found, at: usize, kind: &SizeChoice, others: &[&(usize, SizeChoice)]) {
        let outlines = &found.outlines;
        let place = self.0.iter().position(|(size, _)| size.choice == *kind).unwrap_or_else(|| {
            let size =
                OfferedSize { choice: kind.clone(), outlines: Vec::new(), style: Some(outlines[at].style) };
            self.0.push((size, Compared::default()));
            self.0.len() - 1
        });
        let (size, compared) = &mut self.0[place];
        size.outlines.push(at);
        others
            .iter()
            .for_each(|(other, _)| compared.add(outlines[at].ring.area(), outlines[*other].ring.area()));
    }
}

/// Whether two outlines may be one piece in two sizes.
fn lie_in_one_another(found: &Found, one: usize, other: usize) -> bool {
    let outlines = &found.outlines;
    one != other && common(outlines[one].bounds(), outlines[other].bounds()) > NESTED
}

/// Whether the one of two outlines may be the seamline within the other, which is cut.
fn are_both_lines(found: &Found, one: usize, other: usize) -> bool {
    let outlines = &found.outlines;
    let within = |inner: usize, outer: usize| {
        outlines[inner].inside == Some(outer)
            && allowances(&outlines[inner].edges, &outlines[outer].edges).is_some()
    };
    within(one, other) || within(other, one)
}

/// How the outlines of a size compare with the same pieces in others.
#[derive(Clone, Copy, Debug, Default)]
struct Compared {
    larger: usize,
    others: usize,
}

impl Compared {
    fn add(&mut self, own: f64, other: f64) {
        self.larger += usize::from(own > other);
        self.others += 1;
    }

    /// The share of others than which it is larger. By area alone a size of which a piece was not found would seem smaller.
    fn share(self) -> f64 {
        self.larger as f64 / self.others.max(1) as f64
    }
}
