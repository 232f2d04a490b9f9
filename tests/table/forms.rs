//! Forms: of each operation's own definition, filled in by what is pressed; steps changed and inserted by them.

use std::collections::BTreeSet;

use retrue::recipe::{OnOrOff, Recipe};
use retrue::recut::Step;
use retrue::table::{At, OperationForm, Thing};
use serde_json::{Value, json};

use crate::bench::{Bench, keep, narrow_allowances, step};

fn thing(value: Value) -> Thing {
    serde_json::from_value(value).expect("a thing")
}

fn filled(form: &OperationForm, name: &str) -> Option<String> {
    form.fields.iter().find(|field| field.name == name).map(|field| field.value.clone())
}

/// The fields of a form are those that a recipe reads, and it needs those that a recipe does.
#[test]
fn every_operation_has_a_form_with_the_fields_that_it_reads() {
    let bench = Bench::of_coat();
    let laid = bench.table().laid();
    for name in Step::NAMES {
        let form = laid.form(Some(&json!({ "do": name })), At::End).expect("a form");
        assert_eq!((form.operation, form.says.is_empty()), (*name, false));
        for field in &form.fields {
            let alone = format!("[[step]]\ndo = \"{name}\"\n{} = \"\"\n", field.name);
            let said = Recipe::read(&alone, &[]).err().map(|fault| format!("{fault:?}")).unwrap_or_default();
            assert!(!said.contains("has no field"), "{name}: {said}");
            assert!(!field.help.is_empty() && !field.help.contains("--"), "{name}: {}", field.help);
        }
        // A cloth stands in place of a width, so that neither is needed by itself.
        let needs_none = form.fields.iter().all(|field| !field.needed);
        let takes_cloth = form.fields.iter().any(|field| field.name == "fit-cloth");
        assert!(takes_cloth || Step::from_value(&json!({ "do": name })).is_ok() == needs_none, "{name}");
    }
    assert!(laid.form(Some(&json!({ "do": "iron" })), At::End).is_err());
}

/// Every field of the shipped examples stands in the form of its step, as it was written.
#[test]
fn the_form_of_a_step_holds_all_that_the_step_says() {
    let bench = Bench::of_coat();
    let laid = bench.table().laid();
    let mut held = 0;
    for file in std::fs::read_dir("examples/operations").expect("examples").flatten() {
        let text = std::fs::read_to_string(file.path()).unwrap_or_default();
        let Ok(recipe) = Recipe::read(&text, &[]) else { continue };
        for written in recipe.steps {
            let value = written.step.to_value();
            let form = laid.form(Some(&value), At::End).expect("a form");
            for (name, value) in value.as_object().expect("fields").iter().filter(|(name, _)| *name != "do") {
                assert_eq!(filled(&form, name).as_deref(), value.as_str(), "{}: {name}", form.operation);
                held += 1;
            }
        }
    }
    assert!(held > 60, "{held} fields");
}

#[test]
fn what_is_pressed_answers_the_fields_that_ask_for_it() {
    let bench = Bench::of("dress.svg");
    let table = bench.table();
    let laid = table.laid();
    let seen = table.seen();
    let marked = |sort: &str| {
        let mut marks = seen.pieces.iter().flat_map(|piece| &piece.marks);
        let is_sort = |thing: &Thing| serde_json::to_value(thing).expect("data").get(sort).is_some();
        marks.find(|mark| is_sort(&mark.thing)).expect("a mark").thing.clone()
    };
    let cases = [
        (thing(json!({ "edge": "skirt-back.side" })), "move-seam", vec!["seam", "from"]),
        (thing(json!({ "edge": "skirt-back.hem" })), "add-band", vec!["piece", "edge"]),
        (thing(json!({ "edge": "skirt-back.hem" })), "set-allowance", vec!["edges"]),
        (thing(json!({ "piece": "skirt-back" })), "unfold", vec!["piece"]),
        (marked("dart"), "dart-to-seam", vec!["piece", "dart"]),
        (marked("level"), "split", vec!["piece", "line"]),
    ];
    for (thing, operation, fields) in cases {
        let offers = laid.offers(&thing, At::End).expect("offers");
        let names: BTreeSet<&str> = offers.iter().filter_map(|offer| offer.step["do"].as_str()).collect();
        assert_eq!(names.len(), Step::NAMES.len(), "all can be done from everywhere");
        let offer = offers.iter().find(|offer| offer.step["do"] == operation).expect("an offer");
        assert!(offer.own, "{operation} is done to {thing:?} itself");
        for field in fields {
            assert!(offer.step[field].is_string(), "{operation} of {thing:?}: {}", offer.step);
        }
        let form = laid.form(Some(&offer.step), At::End).expect("a form");
        for field in form.fields.iter().filter(|field| field.closed && !field.value.is_empty()) {
            assert!(field.words.contains(&field.value), "{operation}: {field:?}");
        }
        assert_ne!(offer.step.get("name"), Some(&json!("skirt-back")), "a new name is not that of the thing");
    }
}

/// A form that sets something tells what that is now; one that makes something new has nothing to tell.
#[test]
fn what_is_so_now_is_told_beside_what_may_be_set() {
    let bench = Bench::of_coat();
    let laid = bench.table().laid();
    let now = |step: Value| -> Vec<String> {
        let form = laid.form(Some(&step), At::End).expect("a form");
        let told = form.fields.iter().filter(|field| !field.now.is_empty());
        told.map(|field| format!("{} {}", field.name, field.now)).collect()
    };
    let bag = now(json!({ "do": "set-piece", "piece": "pocket-bag" }));
    assert_eq!(bag, ["piece pocket-bag", "name pocket-bag", "cut 2", "cloth companion", "for plain"]);
    let hem = now(json!({ "do": "set-edge", "edge": "front.hem" }));
    assert!(hem.contains(&"finish hem".to_owned()) && hem.contains(&"name hem".to_owned()), "{hem:?}");
    assert!(now(json!({ "do": "set-piece", "piece": "nothing-there" })).is_empty());
    assert!(now(json!({ "do": "add-band", "piece": "back", "edge": "hem", "depth": "5cm" })).is_empty());
}

#[test]
fn what_is_wrong_in_a_form_is_told_by_its_field() {
    let bench = Bench::of_coat();
    let laid = bench.table().laid();
    let band =
        |depth: &str| step(json!({ "do": "add-band", "piece": "back", "edge": "hem", "depth": depth }));
    let refused = laid.tried(&band("12"), At::End).refused.expect("refused");
    assert!(refused.what.contains("depth") && !refused.what.contains('`'), "{refused:?}");
    assert_eq!(laid.tried(&band("5cm"), At::End).refused, None);
}

/// A later step that can then not be done is marked with the reason, and not lost.
#[test]
fn a_changed_step_is_done_anew_with_all_that_follows() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let split =
        |names: &str| json!({ "do": "split", "piece": "sleeve", "line": "level elbow", "names": names });
    keep(&mut table, &step(split("upper, lower")));
    keep(&mut table, &step(json!({ "do": "turn-grain", "piece": "upper", "to": "crosswise" })));
    keep(&mut table, &narrow_allowances());
    let form = table.laid().form(None, At::InPlaceOf(1)).expect("a form");
    assert_eq!(filled(&form, "names").as_deref(), Some("upper, lower"));
    let trial = table.laid().tried(&step(split("over, lower")), At::InPlaceOf(1));
    assert!(trial.told.iter().any(|line| line.sentence.starts_with("Step 2 can then not be done")));
    assert!(trial.pieces.iter().any(|piece| piece.name == "over"), "{:?}", trial.gone);
    table.keep_at(&step(split("over, lower")), At::InPlaceOf(1), table.revision()).expect("kept");
    let seen = table.seen();
    assert_eq!(seen.steps.iter().map(|step| step.left_out).collect::<Vec<_>>(), [false, true, false]);
    assert!(seen.steps[1].reason.as_deref().is_some_and(|why| why.contains("`upper`")), "{:?}", seen.steps);
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    let other = step(json!({ "do": "unfold", "piece": "back" }));
    assert!(table.keep_at(&other, At::InPlaceOf(1), table.revision()).is_err(), "another operation");
    let wrong = step(split("over, back"));
    let before = bench.text("recipe.toml");
    assert!(table.keep_at(&wrong, At::InPlaceOf(1), table.revision()).is_err(), "a name that is taken");
    assert_eq!(bench.text("recipe.toml"), before);
    table.undo(table.revision()).expect("undone");
    assert!(table.seen().steps.iter().all(|step| !step.left_out), "what was left out comes back with it");
    assert_eq!(bench.text("pattern.svg"), bench.applied());
}

#[test]
fn a_step_is_inserted_before_another() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    keep(&mut table, &step(json!({ "do": "turn-grain", "piece": "sleeve", "to": "crosswise" })));
    let split =
        step(json!({ "do": "split", "piece": "sleeve", "line": "level elbow", "names": "upper, lower" }));
    let trial = table.laid().tried(&split, At::Before(2));
    assert!(trial.told.iter().any(|line| line.sentence.starts_with("Step 2 can then not be done")));
    table.keep_at(&split, At::Before(2), table.revision()).expect("kept");
    let recipe = Recipe::read(&bench.text("recipe.toml"), &[]).expect("a recipe");
    let names: Vec<_> = recipe.steps.iter().map(|step| (step.step.name(), step.turn)).collect();
    let expected = [("set-allowance", OnOrOff::On), ("split", OnOrOff::On), ("turn-grain", OnOrOff::Off)];
    assert_eq!(names, expected);
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    assert!(table.keep_at(&split, At::Before(9), table.revision()).is_err(), "there is no such step");
}

/// A cloth gives a width in a form as in a recipe, and stands in the recipe as it was written; no wish reads a file that the
/// recipe does not name.
#[test]
fn a_cloth_gives_a_width_in_a_form() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    let form =
        table.laid().form(Some(&json!({ "do": "move-seam", "seam": "back.side", "from": "back" })), At::End);
    let form = form.expect("a form");
    let field = form.fields.iter().find(|field| field.name == "fit-cloth").expect("a field");
    assert_eq!((field.needed, field.words.as_slice()), (false, ["370mm x 11400mm".to_owned()].as_slice()));
    let fitted = |cloth: &str| {
        let fields = json!({ "do": "move-seam", "seam": "back.side", "from": "back", "fit-cloth": cloth, "line": "grain" });
        step(fields)
    };
    let trial = table.laid().tried(&fitted("37cm x 9m"), At::End);
    assert_eq!(trial.refused, None);
    assert!(trial.recipe.is_some_and(|recipe| recipe.contains("fit-cloth = \"37cm x 9m\"")));
    for file in ["/etc/passwd", "../cloth.toml", "cloth.toml"] {
        let refused = table.laid().tried(&fitted(file), At::End).refused.expect("refused");
        assert!(refused.what.contains("no cloth"), "{refused:?}");
        assert!(table.keep(&fitted(file), table.revision()).is_err(), "{file}");
    }
    let seen = keep(&mut table, &fitted("37cm x 9m"));
    assert!(
        seen.steps[1].told.iter().any(|line| line.sentence.contains("a width of 178 mm")),
        "{:?}",
        seen.steps[1]
    );
    let text = bench.text("recipe.toml");
    assert!(text.contains("fit-cloth = \"37cm x 9m\"") && !text.contains("to-width"), "{text}");
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    let form = table.laid().form(None, At::InPlaceOf(2)).expect("a form");
    assert_eq!(filled(&form, "fit-cloth").as_deref(), Some("37cm x 9m"));
    assert_eq!(filled(&form, "to-width").as_deref(), Some(""));
    table.keep_at(&fitted("38cm x 9m"), At::InPlaceOf(2), table.revision()).expect("kept");
    assert!(bench.text("recipe.toml").contains("fit-cloth = \"38cm x 9m\""));
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    let limit = step(json!({ "do": "limit-width", "piece": "sleeve", "fit-cloth": "37cm x 9m" }));
    assert_eq!(table.laid().tried(&limit, At::End).refused, None);
}

#[test]
fn a_step_that_is_left_out_is_put_back_where_it_is_changed() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    keep(&mut table, &step(json!({ "do": "turn-grain", "piece": "sleeve", "to": "crosswise" })));
    table.turn(1, OnOrOff::Off, table.revision()).expect("left out");
    let wider = step(json!({ "do": "set-allowance", "edges": "back.side, front.side", "allowance": "9mm" }));
    assert_eq!(table.laid().tried(&wider, At::InPlaceOf(1)).refused, None);
    table.keep_at(&wider, At::InPlaceOf(1), table.revision()).expect("kept");
    let seen = table.seen();
    assert_eq!(seen.steps.iter().map(|step| step.left_out).collect::<Vec<_>>(), [false, false]);
    assert!(bench.text("recipe.toml").contains("allowance = \"9mm\""));
    assert_eq!(bench.text("pattern.svg"), bench.applied());
}

/// An edge or a line that is pressed says what a strip lies over, and on which piece.
#[test]
fn an_edge_or_a_line_fills_in_what_a_strip_lies_over() {
    let bench = Bench::of_coat();
    let laid = bench.table().laid();
    let cases = [
        (thing(json!({ "edge": "back.shoulder" })), "back.shoulder", None),
        (thing(json!({ "level": ["sleeve", "elbow"] })), "level elbow", Some("sleeve")),
    ];
    for (thing, over, piece) in cases {
        let offers = laid.offers(&thing, At::End).expect("offers");
        let strip = offers.iter().find(|offer| offer.step["do"] == "add-strip").expect("an offer");
        assert_eq!((strip.own, strip.step["over"].as_str()), (true, Some(over)));
        assert!(piece.is_none_or(|piece| strip.step["piece"] == piece), "{}", strip.step);
        let mut step = strip.step.clone();
        step["width"] = json!("25mm");
        let trial = laid.tried(&serde_json::from_value(json!({ "step": step })).expect("a wish"), At::End);
        assert_eq!(trial.refused, None, "{step}");
    }
}
