//! A map under change: what a person wrote stays, its own reader reads it, and names follow.

use std::collections::BTreeMap;

use retrue::adopt::{
    Asked, Found, LineSort, Map, MapEdit, MapThing, edited, find, make, said_fields, template, try_map,
};
use retrue::pattern::{EdgeRef, Finish};

use crate::run::fixture;

const SIZE: &str = "style 3";

struct Drawn {
    found: Found,
    map: String,
}

fn skirt() -> Drawn {
    let drawing = fixture("adopt/skirt-shaped-back-cutting-lines.svg");
    let asked = Asked { size: Some(SIZE.parse().expect("a size")), ..Asked::default() };
    let found = find(drawing.as_bytes(), &asked).expect("found");
    let map = template(&found, &asked);
    Drawn { found, map }
}

fn say(thing: MapThing, fields: &[(&str, &str)]) -> MapEdit {
    let fields: BTreeMap<String, String> =
        fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect();
    MapEdit::Say(thing, fields)
}

fn outline(letter: &str) -> MapThing {
    MapThing::Outline(letter.to_owned())
}

fn edge(letter: &str, number: usize) -> MapThing {
    MapThing::Edge(letter.to_owned(), number)
}

/// The remarks of a text, each a whole line or behind a value.
fn remarks(text: &str) -> Vec<String> {
    text.lines().filter_map(|line| line.split_once('#')).map(|(_, remark)| remark.trim().to_owned()).collect()
}

/// All that makes the shipped skirt, as it would be pressed.
fn edits() -> Vec<MapEdit> {
    let lines = |letters: &[&str]| letters.iter().map(|letter| (*letter).to_owned()).collect::<Vec<_>>();
    let mut edits = vec![
        say(
            outline("A"),
            &[("name", "back"), ("drawn", "cutting-line"), ("allowance", "15mm"), ("cut", "2")],
        ),
        say(outline("B"), &[("name", "front"), ("drawn", "cutting-line"), ("allowance", "15mm")]),
        say(edge("A", 1), &[("name", "waist"), ("finish", "free"), ("allowance", "10mm")]),
        say(edge("A", 2), &[("name", "side")]),
        say(edge("A", 3), &[("name", "hem"), ("finish", "hem"), ("allowance", "40mm")]),
        say(edge("A", 4), &[("name", "centre")]),
        say(edge("B", 1), &[("name", "waist"), ("finish", "free"), ("allowance", "10mm")]),
        say(edge("B", 2), &[("name", "centre"), ("finish", "fold")]),
        say(edge("B", 3), &[("name", "hem"), ("finish", "hem"), ("allowance", "40mm")]),
        say(edge("B", 4), &[("name", "side")]),
        MapEdit::Mark(LineSort::Dart, lines(&["a"])),
        MapEdit::Mark(LineSort::Dart, lines(&["i"])),
        MapEdit::Mark(LineSort::Level, lines(&["e", "f", "g", "k", "l", "m"])),
        MapEdit::Unsew(0),
        MapEdit::Confirm(vec![MapThing::Seam(0)]),
        MapEdit::Sew("back.centre".to_owned(), "back.centre/m".to_owned()),
    ];
    edits.insert(3, say(MapThing::Line("b".to_owned()), &[("count", "2")]));
    edits
}

#[test]
fn a_template_that_is_filled_in_by_changes_makes_what_the_shipped_map_makes() {
    let Drawn { found, map } = skirt();
    let filled = edits().iter().fold(map, |map, edit| {
        edited(&map, &found, edit).unwrap_or_else(|error| panic!("{edit:?}: {error}\n{map}"))
    });
    let made =
        make(&found, &Map::read(&filled).expect("a map")).unwrap_or_else(|error| panic!("{error}\n{filled}"));
    assert!(made.notes.is_empty(), "{:?}\n{filled}", made.notes);
    let shipped = std::fs::read_to_string("examples/adopt/skirt.map.toml").expect("a map");
    let shipped = make(&found, &Map::read(&shipped).expect("a map")).expect("made").pattern;
    assert_eq!(made.pattern.seams(), shipped.seams());
    for piece in shipped.pieces() {
        let own = made.pattern.find(piece.name()).expect("the piece");
        assert_eq!(
            (own.cut, own.darts.len(), own.levels.len()),
            (piece.cut, piece.darts.len(), piece.levels.len())
        );
        for edge in piece.edges() {
            let own = made
                .pattern
                .find_edge(&EdgeRef::new(piece.name().clone(), edge.name.clone()))
                .expect("the edge");
            assert_eq!((own.finish, own.allowance), (edge.finish, edge.allowance), "{}", edge.name);
        }
    }
}

/// Lines that one change may take out or write anew: its own, those of a table that goes, and those that name it.
const CHANGED: usize = 8;

/// How many lines two texts have in common, in one order.
fn common(one: &[String], other: &[&str]) -> usize {
    let mut row = vec![0; other.len() + 1];
    for line in one {
        let mut diagonal = 0;
        for (at, own) in other.iter().enumerate() {
            let above = row[at + 1];
            row[at + 1] = if line == own { diagonal + 1 } else { above.max(row[at]) };
            diagonal = above;
        }
    }
    row[other.len()]
}

#[test]
fn no_change_loses_a_remark_or_moves_what_it_does_not_name() {
    let Drawn { found, map } = skirt();
    let mut map = map.replace("name = \"edge-2\"", "# a person wrote this\nname = \"edge-2\" # and this");
    let written = remarks(&map);
    for edit in edits() {
        let before: Vec<String> = map.lines().map(str::to_owned).collect();
        map = edited(&map, &found, &edit).unwrap_or_else(|error| panic!("{edit:?}: {error}"));
        let left = remarks(&map);
        // What stands on the heading of a table that is taken out goes with it; nothing else does.
        let headings = |remark: &String| remark.ends_with(" mm") || remark == "lines that mean nothing";
        for remark in written.iter().filter(|remark| !headings(remark)) {
            assert!(left.contains(remark), "{edit:?} loses `{remark}`:\n{map}");
        }
        let now: Vec<&str> = map.lines().collect();
        assert!(
            common(&before, &now) + CHANGED >= before.len(),
            "{edit:?} changes more than it says:\n{map}"
        );
    }
}

#[test]
fn a_seam_names_its_edges_as_they_are_called_now() {
    let Drawn { found, map } = skirt();
    assert!(map.contains("first = \"piece-b.edge-4\""), "{map}");
    let map = edited(&map, &found, &say(outline("B"), &[("name", "front")])).expect("named");
    let map = edited(&map, &found, &say(edge("B", 4), &[("name", "side")])).expect("named");
    assert!(map.contains("first = \"front.side\"") && !map.contains("piece-b."), "{map}");
}

#[test]
fn what_cannot_stand_in_a_map_is_refused_and_leaves_it_as_it_was() {
    let Drawn { found, map } = skirt();
    let wrong = [
        say(edge("A", 1), &[("allowance", "wide")]),
        say(edge("A", 1), &[("finish", "sewn")]),
        say(edge("A", 1), &[("width", "3")]),
        say(edge("A", 1), &[("at", "2")]),
        say(edge("A", 9), &[("name", "side")]),
        say(outline("A"), &[("name", "")]),
        say(outline("A"), &[("name", "two words here")]),
        say(outline("A"), &[("cut", "none")]),
        say(MapThing::Drawing, &[("corner-angle", "square")]),
        say(MapThing::Drawing, &[("piece", "A")]),
        MapEdit::Mark(LineSort::Level, vec!["zz".to_owned()]),
        MapEdit::Piece("ZZ".to_owned()),
        MapEdit::Confirm(vec![MapThing::Seam(7)]),
        MapEdit::Ignore(vec![edge("A", 1)]),
    ];
    for edit in wrong {
        assert!(edited(&map, &found, &edit).is_err(), "{edit:?}");
    }
}

#[test]
fn an_outline_that_is_no_piece_takes_its_seams_along_and_comes_back_as_it_was_guessed() {
    let Drawn { found, map } = skirt();
    let pieces = |map: &str| Map::read(map).map(|map| try_map(&found, &map)).expect("a map");
    let gone = edited(&map, &found, &MapEdit::Ignore(vec![outline("B")])).expect("ignored");
    assert!(!gone.contains("piece-b") && gone.contains("ignore = [\"C\", \"B\"]"), "{gone}");
    assert!(pieces(&gone).wrong.is_empty());
    let back = edited(&gone, &found, &MapEdit::Piece("B".to_owned())).expect("a piece");
    let made = pieces(&back).pattern.expect("made");
    assert!(back.contains("ignore = [\"C\"]"), "{back}");
    assert_eq!(made.pieces().count(), 2);
}

#[test]
fn an_edge_is_sewn_on_after_another_of_its_side() {
    let Drawn { found, map } = skirt();
    let on = |beside: &str| MapEdit::SewOn(1, beside.to_owned(), "piece-b.edge-1".to_owned());
    let map = edited(&map, &found, &on("piece-b.edge-4")).expect("sewn on");
    assert!(map.contains("first = \"piece-b.edge-4 piece-b.edge-1\""), "{map}");
    assert!(edited(&map, &found, &on("piece-a.edge-4")).is_err(), "what is not sewn there");
}

#[test]
fn two_numbers_are_one_edge_and_no_edge_again() {
    let Drawn { found, map } = skirt();
    let map = edited(&map, &found, &MapEdit::GoesOn("A".to_owned(), 4)).expect("one");
    assert!(map.contains("at = \"4, 1\""), "{map}");
    let map = edited(&map, &found, &MapEdit::NoEdge("A".to_owned(), 1)).expect("none");
    assert!(!map.contains("at = \"4, 1\""), "{map}");
    let map = edited(&map, &found, &MapEdit::IsEdge("A".to_owned(), 1)).expect("one again");
    let map = edited(&map, &found, &MapEdit::IsEdge("A".to_owned(), 4)).expect("one again");
    let tried = try_map(&found, &Map::read(&map).expect("a map"));
    assert!(tried.wrong.iter().all(|wrong| !wrong.what.contains("no name")), "{:?}", tried.wrong);
}

#[test]
fn all_that_is_wrong_with_a_map_is_told_each_at_its_thing() {
    let Drawn { found, map } = skirt();
    let map = map.replacen("allowance = \"10mm\"", "allowance = \"wide\"", 1);
    let at = map.rfind("[[piece.edge]]").expect("an edge of the last piece");
    let at = map[..at].rfind("ignore = ").expect("what its piece leaves out");
    let map = format!("{}drawn = \"inside\"\n{}", &map[..at], &map[at..]);
    let read = Map::read(&map).expect("a map");
    let things = try_map(&found, &read).wrong.into_iter().map(|error| read.thing_at(&found, &error.span));
    assert_eq!(things.collect::<Vec<_>>(), [Some(outline("A")), Some(outline("B"))]);
}

#[test]
fn a_finish_that_nobody_says_is_told() {
    let Drawn { found, map } = skirt();
    let read = Map::read(&map).expect("a map");
    let made = make(&found, &read).expect("made");
    let told: Vec<String> = made.notes.iter().map(ToString::to_string).collect();
    let of =
        |piece: &str| told.iter().any(|note| note.starts_with(&format!("{piece}: nothing says how edge-")));
    assert!(of("piece-a") && of("piece-b"), "{told:?}");
    let free =
        made.pattern.pieces().flat_map(|piece| piece.edges()).filter(|edge| edge.finish == Finish::Free);
    assert_eq!(free.count(), 4);
}

/// An edge of several numbers goes on behind its last, whichever of them is pressed, until it is the whole outline.
#[test]
fn an_edge_goes_on_from_its_last_number() {
    let Drawn { found, map } = skirt();
    let on = |map: &str, number: usize| edited(map, &found, &MapEdit::GoesOn("A".to_owned(), number));
    let map = on(&map, 4).expect("one");
    for number in [4, 1] {
        let further = on(&map, number).expect("further");
        assert!(further.contains("at = \"4, 1, 2\""), "{number}: {further}");
    }
    let map = on(&on(&map, 4).expect("further"), 4).expect("further still");
    assert!(map.contains("at = \"4, 1, 2, 3\""), "{map}");
    assert!(on(&map, 4).is_err(), "it goes all the way round");
}

/// Whatever names an edge of a piece follows its name.
#[test]
fn corners_follow_the_name_of_their_edge() {
    let Drawn { found, map } = skirt();
    let corners = say(outline("A"), &[("corners", "edge-1 edge-2: square; edge-2 edge-3: mitre")]);
    let map = edited(&map, &found, &corners).expect("corners");
    let wrong = |map: &str| try_map(&found, &Map::read(map).expect("a map")).wrong.len();
    let before = wrong(&map);
    let map = edited(&map, &found, &say(edge("A", 2), &[("name", "side")])).expect("renamed");
    assert!(map.contains("corners = \"edge-1 side: square; side edge-3: mitre\""), "{map}");
    assert_eq!(wrong(&map), before);
}

/// A form tells what counts, also where nothing is said.
#[test]
fn a_level_of_which_nothing_is_said_tells_its_girth() {
    let Drawn { found, map } = skirt();
    let map = edited(&map, &found, &MapEdit::Mark(LineSort::Level, vec!["e".to_owned()])).expect("a level");
    let thing = MapThing::Line("e".to_owned());
    let shown = |text: &str| {
        let at = Map::read(text).expect("a map").said_at(&found, &thing).expect("said");
        let fields = said_fields(text, &found, at).expect("fields");
        fields.into_iter().find(|said| said.field.name() == "girth").expect("a field").value
    };
    assert!(!map.contains("girth") && shown(&map) == "yes", "{map}");
    let map = edited(&map, &found, &say(thing.clone(), &[("girth", "")])).expect("said");
    assert!(map.contains("girth = false") && shown(&map).is_empty(), "{map}");
    let map = edited(&map, &found, &say(thing.clone(), &[("girth", "yes")])).expect("said");
    assert!(map.contains("girth = true") && shown(&map) == "yes", "{map}");
}
