//! What a step does, in a few words.

use crate::pattern::{Amount, ClothName, Finish, Measures, Place, Purpose, Selvedge, SewnTo};
use crate::recut::{
    AddStrip, CopyPiece, ExtendEdge, LapWish, MoveSeam, OpenSeam, SetEdge, SetPattern, SetPiece, Step,
    WidthToKeep,
};
use crate::units::{Length, listed};

/// What a recorded step does; its name where it cannot be read.
pub(super) fn phrase(recorded: &serde_json::Value) -> String {
    match Step::from_value(recorded) {
        Ok(step) => of_step(&step),
        Err(_) => match recorded.get("do").and_then(serde_json::Value::as_str) {
            Some(name) => name.to_owned(),
            None => "a step that cannot be read".to_owned(),
        },
    }
}

/// What a step does.
pub(crate) fn of_step(step: &Step) -> String {
    match step {
        Step::Split(split) => format!("{} cut in two {}", split.piece, split.line.words()),
        Step::AddPrincessSeam(seam) => {
            format!(
                "a princess seam through {} of {}, from {} to {}",
                seam.through.words(),
                seam.piece,
                seam.from.words(),
                seam.to.words()
            )
        }
        Step::DartToSeam(seam) => format!("the {} of {} run into a seam", seam.dart, seam.piece),
        Step::PivotDart(pivot) => {
            format!("the {} of {} turned to {}", pivot.dart, pivot.piece, pivot.to.words())
        }
        Step::MoveSeam(MoveSeam { seam, from, .. }) => {
            if seam.piece == *from {
                return format!("the seam at {seam} moved: a strip of the {from} now belongs to its partner");
            }
            format!("the {} seam moved: a strip of the {from} now belongs to the {}", seam.edge, seam.piece)
        }
        Step::MergeAtSeamline(seam) => format!("two edges joined at {}, the seam taken out", seam.seam),
        Step::AddBand(band) => {
            format!("a band {} deep cut along {}.{}", length(band.depth), band.piece, band.edge)
        }
        Step::LimitWidth(limit) => {
            let wide = match limit.width {
                WidthToKeep::Given(width) => length(width),
                WidthToKeep::OfCloth => "the cloth".to_owned(),
            };
            format!("{} cut into panels no wider than {wide}", limit.piece)
        }
        Step::Unfold(unfold) => format!("{} opened out at its fold", unfold.piece),
        Step::Fold(fold) => format!("{} folded to half", fold.piece),
        Step::OpenCentre(open) => format!("the fold of {} made a centre seam", open.piece),
        Step::TurnGrain(turn) => format!("the grain of {} set {}", turn.piece, turn.to),
        Step::CopyPiece(copy) => copied(copy),
        Step::AddFacing(facing) => format!("a facing {} deep along {}", length(facing.depth), facing.along),
        Step::AddStrip(strip) => strip_added(strip),
        Step::Follow(follow) => match &follow.piece {
            Some(piece) => format!("{piece} made anew"),
            None => "facings, linings and copies made anew".to_owned(),
        },
        Step::SetAllowance(set) => {
            format!("the allowance of {} set to {}", set.edges.words(), length(set.allowance))
        }
        Step::SetEdge(set) => edge_set(set),
        Step::SetCorner(set) => format!("the corner of {} set", set.edges),
        Step::SetPiece(set) => piece_set(set),
        Step::TrueSeam(seam) => format!("the seam at {} trued", seam.seam),
        Step::DivideEdge(divide) => format!("{} divided at {}", divide.edge, divide.at.words()),
        Step::JoinEdges(join) => format!("{} made one edge", join.edges),
        Step::OpenSeam(open) => opened(open),
        Step::CloseSeam(close) => format!("the opening at {} sewn up again", close.seam),
        Step::ExtendEdge(extend) => extended(extend),
        Step::SetPattern(set) => pattern_set(set),
    }
}

fn copied(copy: &CopyPiece) -> String {
    let what = match copy.purpose.unwrap_or_default() {
        Purpose::Plain => format!("{} cut once more", copy.piece),
        Purpose::Underlining => format!("an underlining of {}", copy.piece),
        Purpose::Interfacing => format!("an interfacing of {}", copy.piece),
        Purpose::Lining => format!("a lining of {}", copy.piece),
    };
    format!("{what}, named {}", copy.name)
}

fn strip_added(strip: &AddStrip) -> String {
    let wide = match (strip.width, strip.from_width, strip.to_width) {
        (Some(width), ..) => format!(" {} wide", length(width)),
        (None, Some(from), Some(to)) => format!(" {} to {} wide", length(from), length(to)),
        (None, ..) => String::new(),
    };
    let on = strip.piece.as_ref().map_or_else(String::new, |piece| format!(" on {piece}"));
    format!("a strip{wide} laid over {}{on}", strip.over)
}

fn opened(open: &OpenSeam) -> String {
    let stretch = match (&open.to, along_edge(&open.from)) {
        (Some(to), Some((begin, where_from))) => match along_edge(to) {
            Some((end, same)) if same == where_from => format!("{begin} to {end} {where_from}"),
            _ => format!("from {} to {}", open.from.words(), to.words()),
        },
        (Some(to), None) => format!("from {} to {}", open.from.words(), to.words()),
        (None, Some((begin, where_from))) => format!("{begin} {where_from}"),
        (None, None) => format!("from {}", open.from.words()),
    };
    let button = open.button.filter(|_| open.to.is_none());
    let button = button.map_or_else(String::new, |button| format!(", for a button of {}", length(button)));
    format!("the seam at {} left open {stretch}{button}", open.seam)
}

/// How far along an edge a place lies, and from which end: "470 mm", "from the shoulder end of princess".
fn along_edge(place: &Place) -> Option<(String, String)> {
    let Place::OnEdge { edge, along, from: Some(from) } = place else { return None };
    let along = match along {
        Amount::Share(share) => share.to_string(),
        Amount::Length(along) => length(*along),
    };
    Some((along, format!("from the {from} end of {edge}")))
}

fn extended(extend: &ExtendEdge) -> String {
    let by = match (extend.by, extend.button) {
        (Some(by), _) => format!(" by {}", length(by)),
        (None, Some(button)) => format!(" to lap under a button of {}", length(button)),
        (None, None) => String::new(),
    };
    let cloth = extend.cloth.as_ref().map_or_else(String::new, |cloth| format!(" with {cloth} cloth"));
    format!("{} extended{by}{cloth}", extend.edge)
}

fn pattern_set(set: &SetPattern) -> String {
    let changes = [
        set.title.as_ref().map(|title| format!("titled {title}")),
        set.size.as_ref().map(|size| format!("of size {size}")),
        set.measures.as_ref().map(drafted_for),
    ];
    with_changes("the pattern", changes)
}

fn drafted_for(measures: &Measures) -> String {
    let each = measures.0.iter().map(|(name, measure)| format!("{name} {}", length(*measure)));
    format!("drafted for {}", listed(&each.collect::<Vec<_>>()))
}

fn edge_set(set: &SetEdge) -> String {
    let finish = set.finish.map(|finish| match finish {
        Finish::Seam => "made a seam",
        Finish::Hem => "made a hem",
        Finish::Fold => "put on the fold",
        Finish::Free => "left free",
    });
    let selvedge = set.selvedge.map(|selvedge| match selvedge {
        Selvedge::Yes => "laid on the selvedge",
        Selvedge::No => "taken off the selvedge",
    });
    let changes = [
        finish.map(str::to_owned),
        selvedge.map(str::to_owned),
        set.sewn_to.as_ref().map(|to| match to {
            SewnTo::Unsaid => "taken off its seams".to_owned(),
            to => format!("sewn to {to}"),
        }),
        set.ease.map(|ease| format!("eased by {}", length(ease))),
        set.lap.map(|lap| match lap {
            LapWish::None => "no longer sewn on top".to_owned(),
            LapWish::By(lap) if lap == Length::ZERO => "sewn edge to edge".to_owned(),
            LapWish::By(lap) => format!("sewn on top, {} inside its edge", length(lap)),
        }),
        set.name.as_ref().map(|name| format!("named {name}")),
    ];
    with_changes(&set.edge.to_string(), changes)
}

fn piece_set(set: &SetPiece) -> String {
    let changes = [
        set.cut.map(|cut| format!("cut {cut} times")),
        set.cloth.as_ref().map(|cloth| match *cloth == ClothName::none() {
            true => "not cut".to_owned(),
            false => format!("cut from {cloth} cloth"),
        }),
        set.purpose.map(|purpose| match purpose {
            Purpose::Plain => "a piece for itself".to_owned(),
            Purpose::Underlining => "used as underlining".to_owned(),
            Purpose::Interfacing => "used as interfacing".to_owned(),
            Purpose::Lining => "used as lining".to_owned(),
        }),
        set.name.as_ref().map(|name| format!("named {name}")),
    ];
    with_changes(set.piece.as_str(), changes)
}

fn with_changes(what: &str, changes: impl IntoIterator<Item = Option<String>>) -> String {
    let changes: Vec<String> = changes.into_iter().flatten().collect();
    format!("{what} {}", listed(&changes))
}

/// How often something is sewn, where that is more than once.
pub(super) fn times(count: u32) -> String {
    match count {
        0 | 1 => String::new(),
        2 => ", left and right".to_owned(),
        more => format!(", {more} times"),
    }
}

fn length(length: Length) -> String {
    length.show(crate::units::Unit::Millimetre)
}

/// A recorded step as it is typed: its name, then its fields.
pub(super) fn typed(recorded: &serde_json::Value) -> String {
    let Some(fields) = recorded.as_object() else { return recorded.to_string() };
    let value = |value: &serde_json::Value| {
        let text = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        if text.contains(char::is_whitespace) { format!("\"{text}\"") } else { text }
    };
    let name = fields.get("do").map(value).unwrap_or_default();
    let given = fields.iter().filter(|(key, field)| *key != "do" && !field.is_null());
    given.fold(name, |line, (key, field)| format!("{line} --{key} {}", value(field)))
}
