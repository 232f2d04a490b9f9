//! Edits of the record of a sheet.

use kurbo::BezPath;
use retrue::pattern::Pattern;
use retrue::recut::Step;
use retrue::sheet;
use retrue::tolerance::SAME_LEDGER_AREA;
use serde_json::Value;

use super::{
    Dice, Edit, LABEL, LIES_SAME, Made, Spot, ToldBy, apart, numbers, spots, with_letter_changed,
    with_number_changed,
};

/// The leaves of a JSON value, by their pointers.
fn leaves(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(i, item)| leaves(item, &format!("{at}/{i}"), found))
        }
        Value::Object(fields) => {
            fields.iter().for_each(|(name, item)| leaves(item, &format!("{at}/{name}"), found))
        }
        Value::Null => {}
        _ => found.push(at.to_owned()),
    }
}

/// Whether steps give a sheet, its record aside: lines lie where they lay, however many curves they are made of.
fn gives(old: &Pattern, steps: &[Value], text: &str) -> bool {
    let given = || {
        let mut pattern = old.clone();
        for step in steps {
            pattern = Step::from_value(&step["step"]).ok()?.apply(&pattern).ok()?.pattern;
        }
        Some(without_record(&sheet::write(&pattern).ok()?))
    };
    let is_same = |(a, b): (&Spot, &Spot)| {
        let line = |spot: &Spot| BezPath::from_svg(&spot.value).ok();
        let lies_same = || line(a).zip(line(b)).is_some_and(|(a, b)| apart(&a, &b) <= LIES_SAME);
        (&a.place, &a.attribute) == (&b.place, &b.attribute)
            && (a.value == b.value || (a.attribute == "d" && lies_same()))
    };
    // Pieces may stand in another order.
    let said = |text: &str| -> Vec<Spot> {
        let mut said = spots(text);
        said.retain(|spot| !["#element", "#comment", LABEL].contains(&spot.attribute.as_str()));
        said.sort_by(|a, b| (&a.place, &a.attribute).cmp(&(&b.place, &b.attribute)));
        said
    };
    given().is_some_and(|given| {
        let (given, stands) = (said(&given), said(&without_record(text)));
        given.len() == stands.len() && given.iter().zip(&stands).all(is_same)
    })
}

fn without_record(text: &str) -> String {
    let record = text.split_once("<metadata data-kind=\"record\">");
    let parts = record.and_then(|(before, rest)| Some((before, rest.split_once("</metadata>")?.1)));
    parts.map_or_else(|| text.to_owned(), |(before, after)| format!("{before}{after}"))
}

/// An edit of the record.
pub(super) fn edit(made: &Made, dice: &mut Dice) -> Option<Result<Edit, &'static str>> {
    let (before, rest) = made.text.split_once("<metadata data-kind=\"record\">")?;
    let (record, after) = rest.split_once("</metadata>")?;
    let plain = record.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    let mut value: Value = serde_json::from_str(&plain).ok()?;
    let steps = value["steps"].as_array_mut()?;
    let what = match dice.below(6) {
        0 => {
            let i = dice.below(steps.len());
            steps.remove(i);
            if gives(&made.old, steps, &made.text) {
                return Some(Err("the step does nothing to this sheet"));
            }
            format!("step {} taken out", i + 1)
        }
        1 if steps.len() > 1 => {
            let i = dice.below(steps.len() - 1);
            steps.swap(i, i + 1);
            if gives(&made.old, steps, &made.text) {
                return Some(Err("the two steps give this very sheet in either order"));
            }
            format!("steps {} and {} change places", i + 1, i + 2)
        }
        _ => {
            let mut all = Vec::new();
            leaves(&value, "", &mut all);
            let at = dice.pick(&all)?.clone();
            let leaf = value.pointer_mut(&at)?;
            let was = leaf.to_string();
            *leaf = match &*leaf {
                Value::Number(number) => (number.as_f64()? + dice.by()).into(),
                Value::String(text) if numbers(text).is_empty() => with_letter_changed(text, dice)?.into(),
                Value::String(text) => with_number_changed(text, dice)?.into(),
                Value::Bool(is) => (!*is).into(),
                _ => return None,
            };
            let in_step = at.split('/').nth(3) == Some("step");
            let steps = value["steps"].as_array()?;
            if in_step && gives(&made.old, steps, &made.text) {
                return Some(Err("the step asked otherwise gives this very sheet"));
            }
            let leaf = value.pointer(&at)?;
            let moved_by = leaf.as_f64().zip(was.parse::<f64>().ok()).map(|(now, was)| (now - was).abs());
            if at.ends_with("net_area") && moved_by.is_some_and(|by| by < SAME_LEDGER_AREA) {
                return Some(Err("the areas agree as closely as numbers are written"));
            }
            format!("{at}: {} -> {leaf}", was.chars().take(80).collect::<String>())
        }
    };
    let now = value.to_string().replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    let text = format!("{before}<metadata data-kind=\"record\">{now}</metadata>{after}");
    let what = format!("record, {what}");
    Some(Ok(Edit { what, place: String::new(), line: 0, text, told: ToldBy::Steps }))
}
