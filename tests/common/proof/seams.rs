//! Walks the declared seams of a sheet: lengths, notches, levels, allowances, kinks.

use kurbo::Point;

use super::read::{Edge, Piece, Sheet};
use super::{KINK, LENGTH, ON_EDGE, corner_angle};

/// An edge in a seam, walked clockwise or against.
#[derive(Clone, Copy)]
struct Walked<'a> {
    piece: &'a Piece,
    index: usize,
    clockwise: bool,
}

type Run<'a> = Vec<Walked<'a>>;

/// Which end of a walked edge or run.
#[derive(Clone, Copy)]
enum End {
    Start,
    Finish,
}

/// A mark that must meet its partner across the seam.
#[derive(Clone)]
struct Mark {
    sewn: f64,
    /// The count of a notch; none for the joint of two edges of a run.
    count: Option<String>,
}

pub fn prove(sheet: &Sheet, found: &mut Vec<String>) {
    for piece in &sheet.pieces {
        for (index, edge) in piece.edges.iter().enumerate() {
            if edge.finish == "seam" && !is_sewn(sheet, piece, edge) {
                found.push(format!("{}.{}: sewn to nothing", piece.name, edge.name));
            }
            for layer in edge.sewn_to.iter().flat_map(|layers| layers.split(';')) {
                let names = layer.split(" from ").next().unwrap_or_default();
                prove_seam(sheet, piece, index, names.trim(), found);
            }
        }
    }
}

fn prove_seam(sheet: &Sheet, piece: &Piece, index: usize, names: &str, found: &mut Vec<String>) {
    let title = format!("{}.{} to {names}", piece.name, piece.edges[index].name);
    let Some(partners) = partners(sheet, names) else {
        found.push(format!("{title}: no such edge"));
        return;
    };
    let Some((own, partners)) = matched(sheet, (piece, index), &partners, names.contains("/m")) else {
        found.push(format!("{title}: the ends cannot be matched"));
        return;
    };
    let edge = &piece.edges[index];
    let partner_ease: f64 = partners.iter().map(|walked| walked.edge().ease).sum();
    let ease = edge.ease - partner_ease;
    let difference = run_length(&own) - run_length(&partners) - ease;
    if difference.abs() > LENGTH {
        found.push(format!("{title}: lengths differ by {difference}"));
    }
    for partner in &partners {
        if partner.edge().allowance != edge.allowance {
            found.push(format!("{title}: allowances differ"));
        }
    }
    prove_notches(&title, &marks(&own), &marks(&partners), ease, found);
    prove_levels(&title, &own, &partners, ease, found);
    for end in [End::Start, End::Finish] {
        prove_joint(sheet, &title, neighbour(&own, end), neighbour(&partners, end), found);
    }
    for pair in partners.windows(2) {
        let (one, other) = (pair[0].corner(End::Finish), pair[1].corner(End::Start));
        prove_smooth(&title, one.angle, other.angle, found);
    }
}

/// The partner run in both senses; each edge after the first runs on from the one before.
fn partners<'a>(sheet: &'a Sheet, names: &str) -> Option<Vec<Run<'a>>> {
    let edges: Option<Vec<_>> = names.split_whitespace().map(|name| find(sheet, name)).collect();
    let edges = edges?;
    let mut runs = Vec::new();
    for senses in 0..1_u32 << edges.len() {
        let run: Run<'a> = edges
            .iter()
            .enumerate()
            .map(|(place, &(piece, index))| Walked { piece, index, clockwise: senses >> place & 1 == 0 })
            .collect();
        let joined = run.windows(2).all(|pair| {
            let (before, after) = (pair[0].corner(End::Finish), pair[1].corner(End::Start));
            are_sewn(sheet, before.neighbour, after.neighbour)
        });
        if joined {
            runs.push(run);
        }
    }
    Some(runs)
}

fn find<'a>(sheet: &'a Sheet, name: &str) -> Option<(&'a Piece, usize)> {
    let (piece, edge) = name.trim_end_matches("/m").split_once('.')?;
    let piece = sheet.piece(piece)?;
    Some((piece, piece.edge(edge)?))
}

/// The sense of both runs in which their ends meet: by their neighbours, else by their notches.
fn matched<'a>(
    sheet: &Sheet,
    (piece, index): (&'a Piece, usize),
    partners: &[Run<'a>],
    mirrored: bool,
) -> Option<(Run<'a>, Run<'a>)> {
    let own = |clockwise| -> Run<'a> { vec![Walked { piece, index, clockwise }] };
    if mirrored {
        return Some((own(true), own(true)));
    }
    let score = |own: &Run<'a>, run: &Run<'a>| -> i32 {
        let ends = [End::Start, End::Finish].map(|end| {
            let (one, other) = (neighbour(own, end).neighbour, neighbour(run, end).neighbour);
            let alike = one.1.name == other.1.name && one.1.finish == other.1.finish;
            i32::from(alike || are_sewn(sheet, one, other) || both_mirror(one.1, other.1))
        });
        let ease = run_length(own) - run_length(run);
        let mut faults = Vec::new();
        prove_notches("", &marks(own), &marks(run), ease, &mut faults);
        let notches = faults.is_empty();
        10 * ends.iter().sum::<i32>() + i32::from(notches)
    };
    let senses: &[bool] = if partners.iter().all(|run| run.len() > 1) { &[true, false] } else { &[true] };
    let mut pairs: Vec<_> = senses
        .iter()
        .flat_map(|&sense| partners.iter().map(move |run| (own(sense), run.clone())))
        .map(|(own, run)| (score(&own, &run), own, run))
        .collect();
    pairs.sort_by_key(|(score, _, _)| std::cmp::Reverse(*score));
    let tied = pairs.len() > 1 && pairs[0].0 == pairs[1].0;
    let best = pairs.into_iter().next()?;
    (!tied).then_some((best.1, best.2))
}

fn same_order(own: &[Mark], partners: &[Mark]) -> bool {
    own.len() == partners.len()
        && own
            .iter()
            .zip(partners)
            .all(|(one, other)| one.count.is_none() || other.count.is_none() || one.count == other.count)
}

/// Whether both edges lie on a line about which their pieces are mirrored: a fold, or a seam to the
/// piece's own mirrored copy.
fn both_mirror(one: &Edge, other: &Edge) -> bool {
    let mirrors =
        |edge: &Edge| edge.finish == "fold" || edge.sewn_to.as_ref().is_some_and(|to| to.ends_with("/m"));
    mirrors(one) && mirrors(other)
}

type Named<'a> = (&'a Piece, &'a Edge);

/// Whether a seam of the sheet, in any of its layers, joins two edges.
fn are_sewn(sheet: &Sheet, one: Named<'_>, other: Named<'_>) -> bool {
    names(sheet, one, other) || names(sheet, other, one)
}

fn names(sheet: &Sheet, one: Named<'_>, other: Named<'_>) -> bool {
    let wanted = format!("{}.{}", other.0.name, other.1.name);
    let direct = one.1.sewn_to.as_ref().is_some_and(|layers| {
        let mut words = layers.split([' ', ';']);
        words.any(|word| word.trim_end_matches("/m") == wanted)
    });
    direct && sheet.piece(&one.0.name).is_some()
}

fn is_sewn(sheet: &Sheet, piece: &Piece, edge: &Edge) -> bool {
    edge.sewn_to.is_some()
        || sheet
            .pieces
            .iter()
            .flat_map(|other| other.edges.iter().map(move |partner| (other, partner)))
            .any(|partner| names(sheet, partner, (piece, edge)))
}

fn run_length(run: &Run<'_>) -> f64 {
    run.iter().map(|walked| walked.edge().sewn_length()).sum()
}

/// Notches of a run and the joints of its edges, in the order in which they are walked.
fn marks(run: &Run<'_>) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut walked_before = 0.0;
    for (place, walked) in run.iter().enumerate() {
        let mut own: Vec<Mark> = walked
            .piece
            .notches
            .iter()
            .filter(|notch| walked.edge().distance_to(notch.at) < ON_EDGE)
            .map(|notch| Mark {
                sewn: walked_before + walked.sewn_distance(notch.at),
                count: Some(notch.count.clone()),
            })
            .collect();
        own.sort_by(|a, b| a.sewn.total_cmp(&b.sewn));
        marks.extend(own);
        walked_before += walked.edge().sewn_length();
        if place + 1 < run.len() {
            marks.push(Mark { sewn: walked_before, count: None });
        }
    }
    marks
}

fn prove_notches(title: &str, own: &[Mark], partners: &[Mark], ease: f64, found: &mut Vec<String>) {
    if ease.abs() < LENGTH {
        let agree = |one: &Mark, other: &Mark| (one.sewn - other.sewn).abs() < LENGTH;
        let lonely = |marks: &[Mark], others: &[Mark]| {
            let lonely = marks
                .iter()
                .filter(|mark| mark.count.is_some() && !others.iter().any(|other| agree(mark, other)));
            lonely.map(|mark| mark.sewn).collect::<Vec<_>>()
        };
        for sewn in lonely(own, partners).into_iter().chain(lonely(partners, own)) {
            found.push(format!("{title}: notch at {sewn} has no partner"));
        }
        return;
    }
    if !same_order(own, partners) {
        found.push(format!("{title}: notches do not answer one another"));
        return;
    }
    let mut drift = 0.0;
    for (one, other) in own.iter().zip(partners) {
        let next = one.sewn - other.sewn;
        if (next - drift) * ease.signum() < -LENGTH {
            found.push(format!("{title}: a stretch is shorter by {}", drift - next));
        }
        drift = next;
    }
    if (ease - drift) * ease.signum() < -LENGTH {
        found.push(format!("{title}: the last stretch is shorter by {}", drift - ease));
    }
}

/// Levels of one name that end on both sides of a seam without ease meet there.
fn prove_levels(title: &str, own: &Run<'_>, partners: &Run<'_>, ease: f64, found: &mut Vec<String>) {
    if ease.abs() > LENGTH {
        return;
    }
    let theirs = level_ends(partners);
    for (name, sewn) in level_ends(own) {
        for (_, other) in theirs.iter().filter(|(other, _)| *other == name) {
            if (sewn - other).abs() > LENGTH {
                found.push(format!("{title}: level {name} meets at {sewn} and {other}"));
            }
        }
    }
}

fn level_ends<'a>(run: &Run<'a>) -> Vec<(&'a str, f64)> {
    let mut ends = Vec::new();
    let mut before = 0.0;
    for walked in run {
        for level in &walked.piece.levels {
            for end in level.ends {
                if walked.edge().distance_to(end) < ON_EDGE {
                    ends.push((level.name.as_str(), before + walked.sewn_distance(end)));
                }
            }
        }
        before += walked.edge().sewn_length();
    }
    ends
}

/// Where edges run on across the end of a seam they do so without a kink, unless they are sewn to
/// one another: then the end is a corner that is turned out.
fn prove_joint(sheet: &Sheet, title: &str, one: Corner<'_>, other: Corner<'_>, found: &mut Vec<String>) {
    if !are_sewn(sheet, one.neighbour, other.neighbour) {
        prove_smooth(title, one.angle, other.angle, found);
    }
}

fn prove_smooth(title: &str, one: f64, other: f64, found: &mut Vec<String>) {
    let kink = (one + other - 180.0).abs();
    if kink > KINK {
        found.push(format!("{title}: kink of {kink} across the end"));
    }
}

/// A corner at the end of a walked edge: its angle, and the other edge that meets there.
struct Corner<'a> {
    angle: f64,
    neighbour: Named<'a>,
}

fn neighbour<'a>(run: &Run<'a>, end: End) -> Corner<'a> {
    match end {
        End::Start => run[0].corner(end),
        End::Finish => run[run.len() - 1].corner(end),
    }
}

impl<'a> Walked<'a> {
    fn edge(&self) -> &'a Edge {
        &self.piece.edges[self.index]
    }

    fn corner(&self, end: End) -> Corner<'a> {
        let count = self.piece.edges.len();
        let at_first = matches!(end, End::Start) == self.clockwise;
        let next = (self.index + 1) % count;
        let (corner, neighbour) =
            if at_first { (self.index, (self.index + count - 1) % count) } else { (next, next) };
        Corner {
            angle: corner_angle(self.piece, corner),
            neighbour: (self.piece, &self.piece.edges[neighbour]),
        }
    }

    fn sewn_distance(&self, point: Point) -> f64 {
        let sewn = self.edge().sewn_distance(point);
        if self.clockwise { sewn } else { self.edge().sewn_length() - sewn }
    }
}
