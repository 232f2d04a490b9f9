//! The order of sewing after bands were cut off.

use crate::run::Bench;

#[test]
fn a_side_seam_that_runs_on_over_bands_stays_a_side_seam() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("add-band --piece front --edge hem --depth 60mm coat.svg -o one.svg").is_true();
    bench.retrue("add-band --piece back --edge hem --depth 60mm one.svg -o both.svg").is_true();
    bench.retrue("report both.svg -o both.html").is_true();
    let page = bench.text_of("both.html");
    let side = "Sew back.side and back-band.side to front.side and front-band.side";
    let (before, _) = page.split_once(side).expect("the side is sewn");
    let stage = before.rsplit_once("<h3>").map(|(_, title)| title.split('<').next().unwrap_or_default());
    assert_eq!(stage, Some("Sides"));
}
