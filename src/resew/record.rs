//! Holding a record against the pattern that it began with and against what its steps do when they are done again.

use kurbo::ParamCurve;
use serde_json::Value;

use crate::curve::{BezPath, Curve, Motion};
use crate::pattern::{
    ChangedGirth, Declared, DrawnAnew, Ledger, Made, Moved, NewSeam, Pattern, Place, RecordedStep,
};
use crate::recut::{Notice, Step};
use crate::resew::ResewError;
use crate::resew::changes::apart;
use crate::tolerance::{
    AREA_RECORDED, RECORDED_ANGLE, RECORDED_AREA, REPLAYED, SAME_LEDGER_AREA, SAME_LEDGER_LENGTH,
};
use crate::truing;
use crate::units::Length;

/// A step done again.
#[derive(Clone, Debug)]
pub struct Replayed {
    /// Its number in the record, from 1.
    pub number: usize,
    /// The step.
    pub step: Step,
    /// What it told.
    pub notices: Vec<Notice>,
    /// The pattern after it.
    pub pattern: Pattern,
    /// The step as the new pattern records it.
    pub recorded: RecordedStep,
}

/// Where a record does not lead from the old pattern to the new one.
#[derive(Clone, Debug, PartialEq)]
pub struct BrokenRecord {
    /// A step, or the ledger.
    pub at: String,
    /// What is wrong there.
    pub what: String,
}

impl BrokenRecord {
    /// At a step.
    pub(super) fn of_step(number: usize, operation: &str, what: String) -> BrokenRecord {
        BrokenRecord { at: format!("step {number} {operation}").trim_end().to_owned(), what }
    }

    fn of_ledger(what: String) -> BrokenRecord {
        BrokenRecord { at: "ledger".to_owned(), what }
    }
}

/// Where the two records part ways before the older one ends.
///
/// # Errors
///
/// Refuses an older pattern that goes on where the newer one ends: it is the later of the two.
pub(super) fn parted(old: &Pattern, new: &Pattern) -> Result<Option<BrokenRecord>, ResewError> {
    let (was, is) = (&old.record.steps, &new.record.steps);
    for (i, (was, is)) in was.iter().zip(is).enumerate() {
        if was.step != is.step {
            let what = format!(
                "the older pattern's record has `{}` there: a step is missing, was changed, or they went different ways",
                operation(was)
            );
            return Ok(Some(BrokenRecord::of_step(i + 1, operation(is), what)));
        }
    }
    if was.len() > is.len() {
        return Err(ResewError::OldIsLater { old: was.len(), new: is.len() });
    }
    Ok(None)
}

/// Where the ledger is other than what the old pattern measures.
///
/// # Errors
///
/// Refuses an old pattern that does not have the edges with which the record began.
pub(super) fn of_old(old: &Pattern, new: &Pattern) -> Result<Vec<BrokenRecord>, ResewError> {
    let mut found = Vec::new();
    match &new.record.ledger {
        Some(ledger) => {
            let measured = old.record.ledger.clone().unwrap_or_else(|| truing::ledger(old));
            of_ledger(&measured, ledger, &mut found)?;
        }
        None if !new.record.steps.is_empty() || old.record.ledger.is_some() => {
            found.push(BrokenRecord::of_ledger("the record has lost it".to_owned()));
        }
        None => {}
    }
    Ok(found)
}

/// Where a step that the old pattern has too is recorded otherwise than there; `given` is its record after all steps were
/// done again, since a later one may name anew what an earlier one made.
pub(super) fn of_earlier(given: &[RecordedStep], new: &Pattern, found: &mut Vec<BrokenRecord>) {
    for (i, (was, is)) in given.iter().zip(&new.record.steps).enumerate() {
        let step = InRecord { number: i + 1, operation: operation(is), before: None };
        step.compare(was, is, found);
    }
}

/// Where a step is recorded to have moved or declared other than it does when it is done again; `given` is its record after
/// all steps were done again.
pub(super) fn of_step(
    done: &Replayed,
    given: &RecordedStep,
    before: &Pattern,
    found: &mut Vec<BrokenRecord>,
) {
    let step = InRecord { number: done.number, operation: done.step.name(), before: Some(before) };
    step.compare(given, &done.recorded, found);
}

/// A step as it would be recorded had its pieces lain where the steps before it put them: a part that was only moved about
/// on the sheet is the one that the step moves when it is done again.
pub(super) fn where_it_lay(done: &Replayed) -> RecordedStep {
    let mut recorded = done.recorded.clone();
    let given = done.pattern.record.steps.last().map_or(&[][..], |step| &step.moved);
    for (recorded, given) in recorded.moved.iter_mut().zip(given) {
        if moved_about(given, recorded).is_some() {
            *recorded = given.clone();
        }
    }
    recorded
}

/// How far a part lay from where the steps put it when a step moved it, mm; none where it is not the same part, or lay
/// there.
fn moved_about(given: &Moved, recorded: &Moved) -> Option<f64> {
    if (&given.from, &given.copy, &given.to) != (&recorded.from, &recorded.copy, &recorded.to) {
        return None;
    }
    let (given, recorded) = (curve(given.part.as_ref()?)?, curve(recorded.part.as_ref()?)?);
    let ends = |curve: &Curve| curve.segments().iter().map(|segment| segment.end()).collect::<Vec<_>>();
    let (from, to) = (ends(&given), ends(&recorded));
    let first = *from.first()?;
    let far = (0..from.len()).max_by(|a, b| from[*a].distance(first).total_cmp(&from[*b].distance(first)))?;
    let motion = Motion::carry((first, from[far]), (*to.first()?, *to.get(far)?)).ok()?;
    let carried = given.moved(&motion);
    let by = from.iter().map(|at| motion.apply(*at).distance(*at)).fold(0.0, f64::max);
    (by > REPLAYED && apart(&carried, &recorded) <= REPLAYED).then_some(by)
}

fn operation(step: &RecordedStep) -> &str {
    step.step.get("do").and_then(serde_json::Value::as_str).unwrap_or("no operation")
}

fn of_ledger(measured: &Ledger, ledger: &Ledger, found: &mut Vec<BrokenRecord>) -> Result<(), ResewError> {
    let Ledger { girths, edges, net_area } = ledger;
    let other = |what: String| Err(ResewError::OtherLedger { what });
    if let Some((edge, _)) = edges.iter().find(|(edge, _)| measured.edges.iter().all(|(one, _)| one != edge))
    {
        return other(format!("it has no edge `{edge}`"));
    }
    if let Some((edge, _)) = measured.edges.iter().find(|(edge, _)| edges.iter().all(|(one, _)| one != edge))
    {
        return other(format!("it has an edge `{edge}` that the other does not have"));
    }
    let mut tell = |what: String| found.push(BrokenRecord::of_ledger(what));
    for (edge, length) in edges {
        let now = measured.edges.iter().find(|(other, _)| other == edge);
        if let Some((_, is)) = now.filter(|(_, is)| (is - length).abs() > SAME_LEDGER_LENGTH) {
            tell(format!("`{edge}` is {length:.2} mm long in it, and {is:.2} mm on the older pattern"));
        }
    }
    for (level, girth) in girths {
        match measured.girths.iter().find(|(other, _)| other == level) {
            None => tell(format!("it names a level `{level}` that the older pattern does not have")),
            Some((_, is)) if (is - girth).abs() > SAME_LEDGER_LENGTH => tell(format!(
                "the girth at `{level}` is {girth:.2} mm in it, and {is:.2} mm on the older pattern"
            )),
            Some(_) => {}
        }
    }
    for (level, _) in measured.girths.iter().filter(|(level, _)| girths.iter().all(|(one, _)| one != level)) {
        tell(format!("it does not name the level `{level}` of the older pattern"));
    }
    let is = measured.net_area;
    if (is - net_area).abs() > SAME_LEDGER_AREA {
        tell(format!("the area is {net_area:.1} mm² in it, and {is:.1} mm² on the older pattern"));
    }
    Ok(())
}

/// A step whose record is held against another of it.
struct InRecord<'a> {
    number: usize,
    operation: &'a str,
    /// The pattern before it, where it is at hand.
    before: Option<&'a Pattern>,
}

impl InRecord<'_> {
    fn compare(&self, given: &RecordedStep, drawn: &RecordedStep, found: &mut Vec<BrokenRecord>) {
        let RecordedStep { step: _done_again, moved, new_seams, declared, girths, made, redrawn } = given;
        let mut tell = |what: String| {
            let broken = BrokenRecord::of_step(self.number, self.operation, what);
            if !found.contains(&broken) {
                found.push(broken);
            }
        };
        if moved.len() != drawn.moved.len() {
            tell(format!("it records {} parts that moved, and moves {}", drawn.moved.len(), moved.len()));
        } else {
            for (given, drawn) in moved.iter().zip(&drawn.moved) {
                self.compare_moved(given, drawn).map(&mut tell);
            }
        }
        let seams = |seams: &[NewSeam]| {
            let name = |NewSeam { first, second }: &NewSeam| format!("{first} + {second}");
            seams.iter().map(name).collect::<Vec<_>>().join(", ")
        };
        let (is, said) = (seams(new_seams), seams(&drawn.new_seams));
        if is != said {
            tell(format!("it records the new seams `{said}`, and makes `{is}`"));
        }
        compare_made(made, &drawn.made, &mut tell);
        compare_areas(declared, &drawn.declared, &mut tell);
        compare_girths(girths, &drawn.girths, &mut tell);
        if let (Some(is), Some(said)) = (redrawn, &drawn.redrawn) {
            compare_redrawn(is, said, &mut tell);
        }
    }

    /// What of a part that moved is recorded otherwise, if anything.
    fn compare_moved(&self, given: &Moved, drawn: &Moved) -> Option<String> {
        let Moved { from, copy, to, part, motion, off_grain } = given;
        let name = format!("`{from}` to `{to}`");
        if (from, copy, to) != (&drawn.from, &drawn.copy, &drawn.to) {
            return Some(format!(
                "it records that `{}` went to `{}`, and moves {name}",
                drawn.from, drawn.to
            ));
        }
        if let Some(by) = moved_about(given, drawn) {
            return Some(format!(
                "`{from}` lay {by:.2} mm from where the steps before put it: it was moved on the sheet in between; do the \
                 step again on the sheet as they give it"
            ));
        }
        if (off_grain - drawn.off_grain).abs() > RECORDED_ANGLE {
            let recorded = drawn.off_grain;
            return Some(format!(
                "it records {recorded:.3}° off the grain from {name}, and it is {off_grain:.3}°"
            ));
        }
        let off = self.motions_apart(given, motion, &drawn.motion);
        if off.is_none_or(|off| off > REPLAYED) {
            let off = off.map_or_else(String::new, |off| format!(", {off:.3} mm off"));
            return Some(format!("it records another motion from {name} than it makes{off}"));
        }
        let same_part = match (part, &drawn.part) {
            (Some(given), Some(drawn)) => given == drawn || lies_alike(given, drawn),
            (given, drawn) => given == drawn,
        };
        (!same_part).then(|| format!("it records another part from {name} than it moves"))
    }

    /// How far two motions carry a piece apart; none where one of them is no motion.
    fn motions_apart(&self, moved: &Moved, given: &[f64; 6], drawn: &[f64; 6]) -> Option<f64> {
        if given == drawn {
            return Some(0.0);
        }
        let (given, drawn) = (Motion::from_array(*given).ok()?, Motion::from_array(*drawn).ok()?);
        let bounds = self.before?.find(&moved.from)?.bounds();
        let corners =
            [(bounds.x0, bounds.y0), (bounds.x1, bounds.y0), (bounds.x1, bounds.y1), (bounds.x0, bounds.y1)];
        Some(
            corners
                .map(|at| given.apply(at.into()).distance(drawn.apply(at.into())))
                .into_iter()
                .fold(0.0, f64::max),
        )
    }
}

fn curve(path: &str) -> Option<Curve> {
    Curve::from_path(&BezPath::from_svg(path).ok()?).ok()
}

fn lies_alike(given: &str, drawn: &str) -> bool {
    curve(given).zip(curve(drawn)).is_some_and(|(given, drawn)| apart(&given, &drawn) <= REPLAYED)
}

/// The pieces made of others, and by which fields.
fn compare_made(given: &[Made], drawn: &[Made], tell: &mut impl FnMut(String)) {
    let names = |list: &[Made]| list.iter().map(|made| made.piece.to_string()).collect::<Vec<_>>().join(", ");
    let (is, said) = (names(given), names(drawn));
    if is != said {
        tell(format!("it records that it made `{said}`, and makes `{is}`"));
        return;
    }
    for (Made { piece, by, laid: _measured }, drawn) in given.iter().zip(drawn) {
        if !says_alike(by, &drawn.by) {
            tell(format!("it records other fields for `{piece}` than it makes it with"));
        }
    }
}

/// Whether two values say the same; lengths and places may differ by what writing and reading a sheet moves them.
fn says_alike(given: &Value, drawn: &Value) -> bool {
    match (given, drawn) {
        (Value::Object(given), Value::Object(drawn)) => {
            given.len() == drawn.len()
                && given.iter().all(|(name, one)| drawn.get(name).is_some_and(|other| says_alike(one, other)))
        }
        (Value::Array(given), Value::Array(drawn)) => {
            given.len() == drawn.len() && given.iter().zip(drawn).all(|(one, other)| says_alike(one, other))
        }
        (Value::String(given), Value::String(drawn)) => given == drawn || lies_at_same(given, drawn),
        _ => given == drawn,
    }
}

/// Whether two texts are one length, or one place a length along an edge.
fn lies_at_same(given: &str, drawn: &str) -> bool {
    let lengths = given.parse::<Length>().ok().zip(drawn.parse::<Length>().ok());
    let places = given.parse::<Place>().ok().zip(drawn.parse::<Place>().ok());
    lengths.is_some_and(|(given, drawn)| (given.mm() - drawn.mm()).abs() <= REPLAYED)
        || places.is_some_and(|(given, drawn)| given.lies_at(&drawn, Length::from_mm(REPLAYED)))
}

/// The areas of each kind on each piece, all causes together. One so small that it may just not be recorded may stand on
/// one side only.
fn compare_areas(given: &[Declared], drawn: &[Declared], tell: &mut impl FnMut(String)) {
    let of = |list: &[Declared], one: &Declared| -> Vec<f64> {
        let same = list.iter().filter(|other| (&other.piece, other.kind) == (&one.piece, one.kind));
        same.map(|Declared { piece: _, kind: _, area }| *area).collect()
    };
    let mut seen: Vec<&Declared> = Vec::new();
    for one in given.iter().chain(drawn) {
        if seen.iter().any(|other| (&other.piece, other.kind) == (&one.piece, one.kind)) {
            continue;
        }
        seen.push(one);
        let [is, said] = [of(given, one), of(drawn, one)];
        let [sum, said_sum] = [&is, &said].map(|areas| areas.iter().sum::<f64>());
        let unrecorded = is.len().abs_diff(said.len()) as f64 * AREA_RECORDED;
        let on_one_side = is.is_empty() != said.is_empty() && is.iter().chain(&said).all(|area| *area == 0.0);
        if (sum - said_sum).abs() > RECORDED_AREA + unrecorded || on_one_side {
            tell(format!(
                "it records {said_sum:+.2} mm² declared on `{}`, and declares {sum:+.2} mm²",
                one.piece
            ));
        }
    }
}

fn compare_redrawn(given: &DrawnAnew, drawn: &DrawnAnew, tell: &mut impl FnMut(String)) {
    let DrawnAnew { before, after } = given;
    for (is, said) in [(before, &drawn.before), (after, &drawn.after)] {
        for edge in said.iter().filter(|edge| !is.contains(edge)) {
            tell(format!("it records that `{edge}` was drawn anew, and keeps it"));
        }
        for edge in is.iter().filter(|edge| !said.contains(edge)) {
            tell(format!("it does not record that `{edge}` was drawn anew"));
        }
    }
}

fn compare_girths(given: &[ChangedGirth], drawn: &[ChangedGirth], tell: &mut impl FnMut(String)) {
    let sum = |list: &[ChangedGirth], one: &ChangedGirth| -> f64 {
        let same = list.iter().filter(|other| other.level == one.level);
        same.map(|ChangedGirth { level: _, by }| by).sum()
    };
    let mut seen: Vec<&ChangedGirth> = Vec::new();
    for one in given.iter().chain(drawn) {
        if seen.iter().any(|other| other.level == one.level) {
            continue;
        }
        seen.push(one);
        let (is, said) = (sum(given, one), sum(drawn, one));
        if (is - said).abs() > REPLAYED {
            tell(format!(
                "it records {said:+.2} mm of girth at `{}`, and changes it by {is:+.2} mm",
                one.level
            ));
        }
    }
}
