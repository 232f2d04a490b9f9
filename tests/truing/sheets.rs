//! The shipped sheets are true, and faults written into them are found.

use retrue::pattern::Pattern;
use retrue::recut::{Split, Step};
use retrue::truing::{self, Finding, FindingKind, Limits, Meeting, Weight};
use retrue::units::Unit;

use crate::{FIXTURES, read, text_of};

fn found(pattern: &Pattern) -> Vec<Finding> {
    truing::check(pattern, &Limits::default())
}

fn sentences(found: &[Finding]) -> Vec<String> {
    found.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect()
}

/// The drafts are true by construction, and an independent reader proves them so. Where a neck is hollow, the allowances of
/// its two ends fill it, so that none is lacking.
#[test]
fn fixtures_have_no_finding() {
    let all: Vec<Finding> = FIXTURES.iter().flat_map(|fixture| found(&read(&text_of(fixture)))).collect();
    assert!(all.is_empty(), "{:#?}", sentences(&all));
}

/// A piece with a lug beside its selvedge: what its allowance would have beyond the selvedge is told, and a seamline that
/// stands beyond it is not true.
#[test]
fn nothing_is_cut_beyond_the_selvedge() {
    let sheet = |lug: f64| {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="400mm" viewBox="0 0 300 400">
<g id="back" data-kind="piece" data-cut="1">
<path id="back.top" data-finish="free" data-allowance="0mm" d="M0 0 H{lug}"/>
<path id="back.lug" data-finish="free" data-allowance="12mm" d="M{lug} 0 V90"/>
<path id="back.below" data-finish="free" data-allowance="0mm" d="M{lug} 90 L160 100 L185 110"/>
<path id="back.side" data-finish="free" data-selvedge="yes" d="M185 110 V390"/>
<path id="back.hem" data-finish="free" data-allowance="0mm" d="M185 390 H0"/>
<path id="back.centre" data-finish="free" data-allowance="0mm" d="M0 390 V0"/>
<path id="back.grain" data-kind="grainline" d="M90 50 V350"/>
</g></svg>"#
        )
    };
    let told =
        |lug: f64| found(&read(&sheet(lug))).into_iter().map(|f| (f.kind, f.number)).collect::<Vec<_>>();
    assert_eq!(told(170.0), []);
    let [(kind, room)] = told(180.0)[..] else { panic!("{:?}", told(180.0)) };
    assert_eq!(kind, FindingKind::AllowanceShort);
    assert!((room - 5.0).abs() < 1e-6, "{room}");
    assert!(
        told(188.0).iter().any(|(kind, by)| *kind == FindingKind::SeamlineCutOff && (by - 3.0).abs() < 1e-6)
    );
    let pattern = read(&sheet(180.0));
    let lines = retrue::allowance::cutting_lines(&pattern).unwrap();
    let bounds = kurbo::Shape::bounding_box(&lines.iter().next().unwrap().1.path);
    assert!((bounds.x1 - 185.0).abs() < 1e-6, "{bounds:?}");
}

/// What the checks look at is there: seams whose neighbours run on, notches that meet, levels that are measured.
#[test]
fn fixtures_have_something_to_check() {
    let mut pairs = 0;
    let mut meetings = [0; 3];
    for fixture in FIXTURES {
        for walk in truing::walk_seams(&read(&text_of(fixture))).unwrap() {
            pairs += walk.pairs.len();
            assert_eq!(walk.ends.len(), 2, "{}", walk.name);
            for end in &walk.ends {
                meetings[match end.meeting {
                    Meeting::Continue => 0,
                    Meeting::Closed => 1,
                    Meeting::Apart => 2,
                }] += 1;
            }
        }
    }
    assert!(pairs > 20 && meetings.iter().all(|count| *count > 5), "{pairs} {meetings:?}");
}

/// What runs on in the coat, by the seam across which it does.
#[test]
fn the_coat_runs_on_where_a_coat_does() {
    let coat = read(&text_of("coat.svg"));
    let walks = truing::walk_seams(&coat).unwrap();
    let meets = |seam: &str, edge: &str| {
        let walk = walks.iter().find(|walk| walk.name.contains(seam)).unwrap();
        let end = walk
            .ends
            .iter()
            .find(|end| [&end.beyond.0, &end.beyond.1].iter().any(|beyond| beyond.to_string() == edge));
        end.unwrap().meeting
    };
    assert_eq!(meets("back.side", "front.armhole"), Meeting::Continue);
    assert_eq!(meets("back.side", "front.hem"), Meeting::Continue);
    assert_eq!(meets("sleeve.underarm-front", "sleeve.cap"), Meeting::Continue);
    assert_eq!(meets("back.shoulder", "front.neck"), Meeting::Continue);
    assert_eq!(meets("pocket-bag.fore", "pocket-bag.bottom"), Meeting::Closed);
    assert_eq!(meets("under-collar.front", "collar.outer"), Meeting::Closed);
}

/// Each fault is found for what it is, and nothing else is.
#[test]
fn faults_in_the_coat_are_found() {
    let faults = [
        ("data-ease=\"25mm\"", "data-ease=\"24mm\"", FindingKind::SeamLength, 1.0, Weight::Warning),
        ("data-ease=\"25mm\"", "data-ease=\"20mm\"", FindingKind::SeamLength, 5.0, Weight::Untrue),
        (
            "side-notch\" data-kind=\"notch\"",
            "side-notch\" data-kind=\"mark\"",
            FindingKind::NotchWithoutPartner,
            0.0,
            Weight::Warning,
        ),
        (
            "\"front.grain\" data-kind=\"grainline\"",
            "\"front.grain\" data-kind=\"mark\"",
            FindingKind::MissingGrainline,
            0.0,
            Weight::Warning,
        ),
        (
            "\"sleeve\" data-kind=\"piece\" data-cut=\"2\"",
            "\"sleeve\" data-kind=\"piece\" data-cut=\"4\"",
            FindingKind::CutCount,
            4.0,
            Weight::Untrue,
        ),
    ];
    let coat = text_of("coat.svg");
    for (truth, fault, kind, number, weight) in faults {
        assert!(coat.contains(truth), "{truth}");
        let found = found(&read(&coat.replacen(truth, fault, 1)));
        assert!(!found.is_empty(), "{fault}");
        for finding in &found {
            assert_eq!((finding.kind, finding.weight), (kind, weight), "{fault}: {:#?}", sentences(&found));
            assert!((finding.number.abs() - number).abs() < 0.01, "{finding:?}");
        }
    }
}

/// Every original edge is found again after a split, in whole: its parts add up to what it measured.
#[test]
fn the_account_finds_every_edge_again() {
    let coat = read(&text_of("coat.svg"));
    assert_eq!(truing::account(&coat), None);
    let split = Split::of("back".parse().unwrap(), "shoulder@50% > hem@50%".parse().unwrap());
    let recut = Step::from(split).apply(&coat).unwrap();
    let account = truing::account(&recut.pattern).unwrap();
    assert_eq!(account.edges.len(), coat.pieces().map(|piece| piece.edges().len()).sum::<usize>());
    for edge in &account.edges {
        let now: f64 = edge.now.iter().map(|part| part.length.mm()).sum();
        assert!((now - edge.then.mm()).abs() < 1e-6, "{edge:?}");
    }
    let hem = account.edges.iter().find(|edge| edge.edge.to_string() == "back.hem").unwrap();
    assert_eq!(hem.now.len(), 2);
    assert!(account.girths.iter().all(|girth| girth.unaccounted.mm().abs() < 1e-6));
    assert!((account.net_area_then - account.net_area_now).abs() < 1.0);
    assert_eq!(account.new_seams.len(), 1);
    let found = found(&recut.pattern);
    assert!(found.iter().all(|finding| finding.kind == FindingKind::OffGrain), "{:#?}", sentences(&found));
}

/// A side seam moved onto the front leaves by the armhole at 28°, and the armhole bends along with it: both cut ends are
/// squared as far out, and the coat is true once the armhole is drawn smooth over the old side seam.
#[test]
fn a_seam_that_leaves_by_the_armhole_aslant_is_cut_to_match() {
    let fields = serde_json::json!({
        "seam": "front.side", "from": "back", "to-width": "18.5cm", "line": "grain"
    });
    let step: Step = Step::read("move-seam", fields).unwrap();
    let recut = step.apply(&read(&text_of("coat.svg"))).unwrap();
    let kinds: Vec<FindingKind> = found(&recut.pattern).iter().map(|finding| finding.kind).collect();
    assert_eq!(kinds, [FindingKind::CornerAtJoin], "nothing but the corner of the two armholes");
    let fields = serde_json::json!({ "seam": "front.armhole", "smooth": "front.armhole" });
    let smoothed = Step::read("true-seam", fields).unwrap().apply(&recut.pattern).unwrap();
    let found = found(&smoothed.pattern);
    assert!(found.is_empty(), "{:#?}", sentences(&found));
}
