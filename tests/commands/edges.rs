//! Dividing, opening, lapping and extending edges as a user does it: what is refused and why, and what is told of it on the
//! sheet, in the report and in print.

use crate::run::Bench;

/// What is asked for, where it is refused, and the way out; nothing is written.
const REFUSED: &[(&str, &str, &str)] = &[
    ("divide-edge coat.svg --edge front.side --at hem@40%", "lies on `hem`", "name a place on it: side@40%"),
    ("divide-edge coat.svg --edge front.side --at side@0mm", "front.side", "at least 3mm from its corners"),
    ("divide-edge coat.svg --edge front.sid --at side@40%", "front", "side"),
    (
        "divide-edge coat.svg --edge back.centre --at centre@50%",
        "a fold is one line",
        "retrue unfold --piece back",
    ),
    ("divide-edge coat.svg --edge front.side --at bust-point", "not on the outline", "hem@45%"),
    ("join-edges coat.svg --edges \"front.side, front.neck\"", "does not meet it", "`hem` and `armhole`"),
    ("join-edges coat.svg --edges \"front.side, back.side\"", "on another piece", "`hem` and `armhole`"),
    (
        "join-edges coat.svg --edges \"front.side, front.armhole\"",
        "the line turns by",
        "smooth it first with `true-seam`",
    ),
    (
        "open-seam dress.svg --seam bodice-front.side --from side@1% --to side@99%",
        "bust-dart",
        "retrue pivot-dart",
    ),
    (
        "open-seam coat.svg --seam front.side --from side@10mm --to side@900mm",
        "718.1 mm long",
        "0mm to 718.1mm",
    ),
    (
        "open-seam coat.svg --seam front.side --from \"side@5mm from hem\" --button 20mm",
        "beyond the seam",
        "begin it",
    ),
    ("open-seam coat.svg --seam front.side --from side@10mm --to side@11mm", "1.0 mm long", "3mm apart"),
    ("open-seam coat.svg --seam front.side --from side@10mm", "one of the two", "--to or --button"),
    ("open-seam coat.svg --seam sleeve.cap --from cap@40% --to cap@60%", "back.armhole", "on the same edge"),
    (
        "set-edge coat.svg --edge back.side --lap 20mm",
        "at least 23mm",
        "set-allowance --edges front.side --allowance 23mm",
    ),
    ("set-edge coat.svg --edge back.hem --lap 2mm", "sewn to nothing", "--sewn-to"),
    ("set-edge coat.svg --edge back.side --lap -2mm", "a lap cannot be -2mm", "from 0mm"),
    (
        "move-seam coat.svg --seam front.side --from back --to-width 18cm --lap 20mm",
        "at least 23mm",
        "front.side",
    ),
    ("extend-edge coat.svg --edge front.side --by 20mm", "level `bust` goes on", "retrue move-seam"),
    ("extend-edge coat.svg --edge back.centre --by 20mm", "is a fold", "retrue open-centre"),
    (
        "extend-edge coat.svg --edge pocket-bag.bottom --by 60cm",
        "in the hollow",
        "extend it by up to 269.9mm",
    ),
    ("extend-edge coat.svg --edge back.neck --by 2cm", "goes on there to front.neck", "--sewn-to none"),
    ("extend-edge coat.svg --edge front.centre --by 0mm", "extended by 0mm", "above 0mm"),
    ("extend-edge dress.svg --edge skirt-front.waist --by 2cm", "waist-dart", "retrue pivot-dart"),
    ("extend-edge coat.svg --edge front.hem", "one of the two", "--by or --button"),
    (
        "add-facing coat.svg --along front.neck --depth 30cm",
        "does not meet `front.shoulder`",
        "a depth of up to 115.4mm",
    ),
    (
        "add-facing coat.svg --along \"front.neck, back.side\" --depth 3cm",
        "does not follow",
        "make two facings",
    ),
    (
        "add-strip coat.svg --over front.shoulder --width 50cm",
        "wider than `back.armhole`",
        "up to 89.0mm wide",
    ),
    ("add-strip coat.svg --over front.hem --width 2cm", "not sewn", "front.hem"),
    ("extend-edge coat.svg --edge sleeve.cap --by 30cm", "in the hollow", "extend it by up to 59.6mm"),
    ("open-centre coat.svg --piece back --lap 90cm", "a lap cannot be 900mm", "from 0mm"),
    ("copy-piece coat.svg --piece bak --name x", "no piece named `bak`", "did you mean `back`"),
    ("copy-piece coat.svg --piece back --name front", "named `front` already", "give another name"),
    ("copy-piece coat.svg --piece back --name x --pleat 25mm", "is for linings", "--for lining"),
    ("follow coat.svg --piece front", "nothing to follow", "leave --piece out"),
    (
        "set-edge coat.svg --edge back.centre --lap 8mm",
        "is a fold",
        "retrue open-centre --piece back --lap 8mm",
    ),
    ("extend-edge coat.svg --edge front.centre --button 0mm", "a button 0mm wide", "above 0mm"),
    ("add-facing coat.svg --along sleeve.cap --depth 30cm", "too deep", "a depth of up to"),
    ("set-pattern coat.svg", "nothing is to be set", "--title"),
    ("set-pattern coat.svg --measures \"bust 88\"", "no unit", "88cm"),
    ("set-pattern coat.svg --measures \"bust 88cm, bust 90cm\"", "`bust` is given twice", "once"),
];

#[test]
fn what_cannot_be_done_is_refused_with_the_way_out_and_nothing_written() {
    for (line, what, way_out) in REFUSED {
        let bench = Bench::new().with_fixture("coat.svg").with_fixture("dress.svg");
        let files = bench.files();
        bench.retrue(&format!("{line} -o new.svg")).is_refused().says(what).says(way_out);
        assert_eq!(bench.files(), files, "{line}");
    }
}

/// What is opened and lapped stands on the sheet, is told in the order of sewing, and named when its seam is recut.
#[test]
fn openings_and_laps_are_told_wherever_the_garment_is_explained() {
    let bench = Bench::new().with_fixture("coat.svg");
    let apart = "set-allowance coat.svg --edges \"front.side, back.side\" --allowance 2cm -o wide.svg";
    bench.retrue(apart).is_true();
    let open = "open-seam wide.svg --seam front.side --from \"side@20cm from hem\" --to \"side@36cm from hem\" -o open.svg";
    bench.retrue(open).is_true().says("left open for a pocket, 160 mm long");
    bench.retrue("set-edge open.svg --edge back.side --lap 12mm -o lapped.svg").is_true().says("sewn on top");
    bench.retrue("check lapped.svg --against coat.svg").is_true();
    bench
        .retrue("set-edge coat.svg --edge back.side --lap 8mm -o one.svg")
        .is_true()
        .says("is turned in first");
    bench
        .retrue("set-edge one.svg --edge front.side --lap 8mm -o both.svg")
        .is_refused()
        .says("back.side lies on top of it already");
    bench.retrue("show lapped.svg").prints("left open for a pocket").prints("on top, stitched 12 mm inside");
    bench
        .retrue("move-seam lapped.svg --seam front.side --from back --by 1cm -o no.svg")
        .is_refused()
        .says("left open");
    bench.retrue("report lapped.svg --before coat.svg -o page.html").is_true();
    let page = bench.text_of("page.html");
    for said in [
        "notch to notch, for the pocket",
        "Turn in 20 mm of back.side and lay it on top, its fold on the other seamline; stitch 12 mm inside it",
    ] {
        assert!(page.contains(said), "{said}");
    }
    // The stitching goes through both pieces, and is drawn on either; in the picture it stands in the key besides.
    assert_eq!(page.matches("class=\"lap\"").count(), 2);
    bench.retrue("picture lapped.svg -o picture.svg").is_true();
    assert_eq!(bench.text_of("picture.svg").matches("class=\"lap-stitching\"").count(), 3);
}

/// Copies made of one another in a circle, and what was made of a piece that is gone, are told by `check`, and refused when
/// they should follow.
#[test]
fn copies_in_a_circle_and_of_a_lost_piece_are_refused() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("copy-piece coat.svg --piece front --name one -o one.svg").is_true();
    bench.retrue("copy-piece one.svg --piece one --name two -o two.svg").is_true();
    for (from, says) in
        [("two", "made of itself, by way of `two`"), ("lost", "made from `lost`, which is gone")]
    {
        let sheet =
            bench.text_of("two.svg").replacen("data-from=\"front\"", &format!("data-from=\"{from}\""), 1);
        let bench = Bench::new().with_file("edited.svg", sheet);
        bench.retrue("check edited.svg").is_untrue().prints(says);
        let files = bench.files();
        let told = bench.retrue("follow edited.svg -o new.svg");
        told.is_refused().says("one").says(says).says("data-from");
        assert_eq!(bench.files(), files);
    }
}

/// Title, size and measures stand on the cover, in the report and in what is shown.
#[test]
fn what_a_pattern_is_stands_on_all_that_is_made_of_it() {
    let bench = Bench::new().with_fixture("coat.svg");
    let line = "set-pattern coat.svg --title \"Robe coat\" --size 38 --measures \"bust 88cm\" -o new.svg";
    bench.retrue(line).is_true();
    let sheet = bench.text_of("new.svg");
    for said in ["<title>Robe coat</title>", "data-size=\"38\"", "data-measure-bust=\"880mm\""] {
        assert!(sheet.contains(said), "{said}");
    }
    bench.retrue("show new.svg").prints("Robe coat").prints("size 38").prints("for a body of bust 880 mm");
    bench.retrue("report new.svg -o page.html").is_true();
    assert!(bench.text_of("page.html").contains("Robe coat"));
    bench.retrue("check new.svg --against coat.svg").is_true();
    let spoiled = sheet.replacen("data-size=\"38\"", "data-size=\"40\"", 1);
    let bench = bench.with_file("spoiled.svg", spoiled);
    bench.retrue("check spoiled.svg --against coat.svg").is_untrue().prints("size 38 → 40");
    let bench = bench.with_file("bare.svg", sheet.replacen("\"880mm\"", "\"880\"", 1));
    bench.retrue("show bare.svg").is_refused().says("data-measure-bust").says("no unit");
}
