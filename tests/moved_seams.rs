//! Laws of moved and merged seams.

use retrue::pattern::Pattern;
use retrue::recut::Step;
use retrue::sheet;

fn fixture(name: &str) -> Pattern {
    let bytes = std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
    sheet::read(&bytes, &Default::default()).unwrap().pattern
}

fn step(fields: serde_json::Value) -> Step {
    let mut fields = fields;
    let name = fields.as_object_mut().unwrap().remove("do").unwrap();
    Step::read(name.as_str().unwrap(), fields).unwrap()
}

fn keep(name: &str, pattern: &Pattern) {
    if let Ok(folder) = std::env::var("RETRUE_KEEP") {
        std::fs::write(format!("{folder}/{name}.svg"), sheet::write(pattern).unwrap()).unwrap();
    }
}

#[test]
fn try_out() {
    let coat = fixture("coat");
    let run = |pattern: &Pattern, fields: serde_json::Value| {
        let recut = step(fields.clone()).apply(pattern).unwrap_or_else(|e| panic!("{fields}: {e}"));
        for told in &recut.told {
            println!("{}{}", if told.is_warning() { "! " } else { "  " }, told.sentence(Default::default()));
        }
        println!();
        recut.pattern
    };
    let moved = run(
        &coat,
        serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "back", "to-width": "18.5cm", "line": "grain"}),
    );
    keep("moved", &moved);
    for shaping in ["dart", "drop"] {
        let step = step(
            serde_json::json!({"do": "move-seam", "seam": "front.side", "from": "back", "to-width": "18.5cm", "line": "grain", "shaping": shaping}),
        );
        match step.apply(&coat) {
            Ok(recut) => {
                for told in &recut.told {
                    println!("{shaping} {}", told.sentence(Default::default()));
                }
                keep(&format!("moved-{shaping}"), &recut.pattern);
            }
            Err(error) => println!("{shaping} {error}"),
        }
    }
    let shoulder = run(
        &coat,
        serde_json::json!({"do": "move-seam", "seam": "front.shoulder", "from": "front", "by": "15mm"}),
    );
    keep("shoulder", &shoulder);
    let skirt = fixture("skirt-shaped-back");
    let flat =
        run(&skirt, serde_json::json!({"do": "merge-at-seamline", "seam": "back.centre", "shaping": "dart"}));
    keep("flat-back", &flat);
    let fore = run(
        &coat,
        serde_json::json!({"do": "split", "piece": "sleeve", "line": "fore-line", "names": "sleeve-mid, sleeve-fore"}),
    );
    let hind = run(
        &fore,
        serde_json::json!({"do": "split", "piece": "sleeve-mid", "line": "hind-line", "names": "sleeve-upper, sleeve-hind"}),
    );
    keep("three", &hind);
    let two = run(
        &hind,
        serde_json::json!({"do": "merge-at-seamline", "seam": "sleeve-fore.underarm-front", "name": "sleeve-under"}),
    );
    keep("two-piece", &two);
}

#[test]
fn try_darts() {
    let dress = fixture("dress");
    let coat = fixture("coat");
    let run = |pattern: &Pattern, keep_as: &str, fields: serde_json::Value| {
        println!("{fields}");
        match step(fields.clone()).apply(pattern) {
            Ok(recut) => {
                for told in &recut.told {
                    println!(
                        "  {}{}",
                        if told.is_warning() { "! " } else { "  " },
                        told.sentence(Default::default())
                    );
                }
                keep(keep_as, &recut.pattern);
                Some(recut.pattern)
            }
            Err(error) => {
                println!("  REFUSED {error}");
                None
            }
        }
    };
    run(
        &dress,
        "d-shoulder",
        serde_json::json!({"do": "add-princess-seam", "piece": "bodice-front", "from": "shoulder@50%", "through": "bust-point", "to": "waist@45% from centre"}),
    );
    run(
        &dress,
        "d-armhole",
        serde_json::json!({"do": "add-princess-seam", "piece": "bodice-front", "from": "armhole@50%", "through": "bust-point", "to": "waist@45% from centre"}),
    );
    run(
        &coat,
        "c-hem",
        serde_json::json!({"do": "add-princess-seam", "piece": "front", "from": "shoulder@50%", "through": "bust-point", "to": "hem@45% from centre"}),
    );
    run(
        &coat,
        "c-armhole",
        serde_json::json!({"do": "add-princess-seam", "piece": "front", "from": "armhole@40%", "through": "bust-point", "to": "hem@45% from centre"}),
    );
    run(
        &dress,
        "d-back",
        serde_json::json!({"do": "add-princess-seam", "piece": "bodice-back", "from": "shoulder@50%", "through": "waist-dart.tip", "to": "waist@45% from centre", "darts": "shoulder-dart, waist-dart"}),
    );
    run(
        &dress,
        "d-pivot",
        serde_json::json!({"do": "pivot-dart", "piece": "bodice-front", "dart": "bust-dart", "to": "shoulder@50%"}),
    );
    run(
        &dress,
        "d-pivot-half",
        serde_json::json!({"do": "pivot-dart", "piece": "bodice-front", "dart": "bust-dart", "to": "shoulder@50%", "share": "50%", "about": "bust-point", "stand-off": "25mm"}),
    );
    run(
        &dress,
        "d-dart-seam",
        serde_json::json!({"do": "dart-to-seam", "piece": "lining-back", "dart": "waist-dart"}),
    );
    run(
        &dress,
        "d-dart-seam2",
        serde_json::json!({"do": "dart-to-seam", "piece": "skirt-front", "dart": "waist-dart"}),
    );
}
