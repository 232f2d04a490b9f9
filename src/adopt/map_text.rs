//! The text of a map under change. What a person wrote in it, its order and its remarks, stays as it is.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

use crate::adopt::found::Found;
use crate::adopt::make::try_map;
use crate::adopt::map::{Map, MapAsks, MapField, YES, text};
use crate::adopt::map_tables::{
    Removed, forget_positions, nearest_after, nth, push, removed, set, strike, take_out,
};
use crate::adopt::map_thing::{Further, LineSort, MapThing, SaidAt};
use crate::adopt::template::{likely_from, written_piece};
use crate::pattern::nearest;
use crate::toml_file::TextFault;

/// The field that says how sure a guess is.
const GUESSED: &str = "guessed";

/// The fields of a piece and of what lies on it that name edges of that piece.
const NAMING_EDGES: [(Option<LineSort>, &str); 4] = [
    (None, "corners"),
    (Some(LineSort::Dart), "edge"),
    (Some(LineSort::Dart), "press"),
    (Some(LineSort::Notch), "at"),
];

/// The fields of a seam that name edges, each with its piece.
const NAMING_OF_SEAM: [&str; 3] = ["first", "second", "from"];

/// What may stand right behind the name of an edge.
const BEHIND_EDGE: &[char] = &['/', '@', ':'];

/// A change of a map.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MapEdit {
    /// Says fields of a thing; an empty text takes the field out.
    Say(MapThing, BTreeMap<String, String>),
    /// Says the same fields of several things.
    SayAll(Vec<MapThing>, BTreeMap<String, String>),
    /// Things that were guessed are right.
    Confirm(Vec<MapThing>),
    /// A piece is made of an outline.
    Piece(String),
    /// Outlines and lines mean nothing.
    Ignore(Vec<MapThing>),
    /// Lines are each of a sort.
    Mark(LineSort, Vec<String>),
    /// Two edges are sewn together, each with its piece: `front.side`.
    Sew(String, String),
    /// An edge is sewn in a seam as well, after another on the same side: the seam, that edge, this one.
    SewOn(usize, String, String),
    /// A seam is none.
    Unsew(usize),
    /// An edge, by its outline and number, goes on in the next: both are one.
    GoesOn(String, usize),
    /// An edge is none: there is a corner of the cutting line.
    NoEdge(String, usize),
    /// A number that no edge has is one.
    IsEdge(String, usize),
}

pub(super) fn refused(what: impl std::fmt::Display, way_out: &'static str) -> TextFault {
    TextFault::new(0..0, what, "not in the map", way_out)
}

pub(super) const LOOK_AGAIN: &str = "look at the map again";

impl MapEdit {
    /// The same, each of one thing.
    fn one_by_one(&self) -> Vec<MapEdit> {
        match self {
            MapEdit::SayAll(things, fields) => {
                things.iter().map(|thing| MapEdit::Say(thing.clone(), fields.clone())).collect()
            }
            MapEdit::Confirm(things) => {
                things.iter().map(|thing| MapEdit::Confirm(vec![thing.clone()])).collect()
            }
            MapEdit::Ignore(things) => {
                things.iter().map(|thing| MapEdit::Ignore(vec![thing.clone()])).collect()
            }
            MapEdit::Mark(sort, lines) => {
                lines.iter().map(|line| MapEdit::Mark(*sort, vec![line.clone()])).collect()
            }
            other => vec![other.clone()],
        }
    }
}

/// The text of a map after a change, which its reader has read.
///
/// # Errors
///
/// There is no such thing in the drawing or the map; what is said of it cannot stand there.
pub fn edited(text: &str, found: &Found, edit: &MapEdit) -> Result<String, TextFault> {
    let mut text = text.to_owned();
    for edit in edit.one_by_one() {
        let map = Map::read(&text)?;
        let mut changed = MapText::of(&text, &map, found)?;
        changed.change(&edit)?;
        let changed = changed.finish();
        if let MapEdit::Say(thing, _) = &edit {
            refuse_wrong(found, thing, &map, &Map::read(&changed)?)?;
        }
        text = changed;
    }
    Map::read(&text)?;
    Ok(text)
}

/// Refuses what is wrong with a thing and was not before.
fn refuse_wrong(found: &Found, thing: &MapThing, before: &Map, after: &Map) -> Result<(), TextFault> {
    let known: Vec<String> = try_map(found, before).faults().map(|error| error.what.clone()).collect();
    let is_new = |error: &TextFault| {
        !known.contains(&error.what) && after.thing_at(found, &error.span).as_ref() == Some(thing)
    };
    match try_map(found, after).faults().find(|error| is_new(error)) {
        Some(error) => Err(error.clone()),
        None => after.asked().map(|_| ()),
    }
}

/// A field of something that a map speaks of, with what is said there.
#[derive(Clone, Debug)]
pub struct SaidField {
    /// The field.
    pub field: MapField,
    /// What is said, or what it counts as where nothing is.
    pub value: String,
}

/// What a map says of a thing that can be said in another way.
///
/// # Errors
///
/// The text is no map.
pub fn said_fields(text: &str, found: &Found, at: SaidAt) -> Result<Vec<SaidField>, TextFault> {
    let map = Map::read(text)?;
    let mut said = MapText::of(text, &map, found)?;
    let asked = at.fields().iter().filter(|field| !matches!(field.asks, MapAsks::Pointed | MapAsks::Things));
    let mut value =
        |field: &MapField| said.said(at, &field.name()).unwrap_or_else(|| field.unsaid().to_owned());
    let fields = asked.map(|field| SaidField { field: *field, value: value(field) });
    Ok(fields.collect())
}

/// A map whose text is changed.
pub(super) struct MapText<'a> {
    pub(super) document: DocumentMut,
    pub(super) map: &'a Map,
    pub(super) found: &'a Found,
}

impl<'a> MapText<'a> {
    /// Of the text of a map, and that map.
    fn of(text: &str, map: &'a Map, found: &'a Found) -> Result<MapText<'a>, TextFault> {
        let document = text.parse().map_err(|_| refused("this map cannot be read", LOOK_AGAIN))?;
        Ok(MapText { document, map, found })
    }

    /// The text as it is now.
    fn finish(self) -> String {
        self.document.to_string()
    }

    /// The value of a field of what the map speaks of.
    pub(super) fn said(&mut self, at: SaidAt, field: &str) -> Option<String> {
        let item = self.table(at)?.get(field)?;
        match item.as_value()? {
            Value::String(text) => Some(text.value().clone()),
            Value::Boolean(is) => Some(if *is.value() { YES } else { "" }.to_owned()),
            other => Some(other.clone().decorated("", "").to_string()),
        }
    }

    /// Does a change.
    fn change(&mut self, edit: &MapEdit) -> Result<(), TextFault> {
        match edit {
            MapEdit::Say(thing, fields) => self.say(thing, fields),
            MapEdit::SayAll(things, fields) => things.iter().try_for_each(|thing| self.say(thing, fields)),
            MapEdit::Confirm(things) => {
                for thing in things {
                    let at = self.said_at(thing)?;
                    self.take_out(at, GUESSED);
                }
                Ok(())
            }
            MapEdit::Ignore(things) => things.iter().try_for_each(|thing| self.ignore(thing)),
            MapEdit::Mark(sort, letters) => letters.iter().try_for_each(|letter| self.mark(*sort, letter)),
            MapEdit::Sew(first, second) => {
                self.sew(first, second);
                Ok(())
            }
            MapEdit::Piece(letter) => {
                let written = written_piece(self.found, letter);
                let written =
                    written.ok_or_else(|| refused(format!("there is no outline `{letter}`"), LOOK_AGAIN))?;
                self.add_piece(letter, &written)
            }
            MapEdit::SewOn(at, beside, edge) => self.sew_on(*at, beside, edge),
            MapEdit::Unsew(at) => {
                self.remove("seam", *at);
                Ok(())
            }
            MapEdit::GoesOn(letter, number) => self.goes_on(letter, *number),
            MapEdit::NoEdge(letter, number) => {
                if let (piece, Some(edge)) = self.edge_at(letter, *number)? {
                    self.remove_of_piece(piece, "edge", edge);
                }
                Ok(())
            }
            MapEdit::IsEdge(letter, number) => self.is_edge(letter, *number),
        }
    }

    fn said_at(&self, thing: &MapThing) -> Result<SaidAt, TextFault> {
        let at = self.map.said_at(self.found, thing);
        at.ok_or_else(|| refused("the map does not speak of this", LOOK_AGAIN))
    }

    pub(super) fn table(&mut self, at: SaidAt) -> Option<&mut dyn TableLike> {
        match at {
            SaidAt::Top => Some(self.document.as_table_mut()),
            SaidAt::Piece(piece) => nth(self.document.get_mut("piece")?, piece),
            SaidAt::Edge(piece, edge) => {
                nth(nth(self.document.get_mut("piece")?, piece)?.get_mut("edge")?, edge)
            }
            SaidAt::Mark(piece, sort, number) => {
                nth(nth(self.document.get_mut("piece")?, piece)?.get_mut(sort.word())?, number?)
            }
            SaidAt::Seam(seam) => nth(self.document.get_mut("seam")?, seam),
        }
    }

    fn say(&mut self, thing: &MapThing, fields: &BTreeMap<String, String>) -> Result<(), TextFault> {
        let at = self.said_at(thing)?;
        for (name, value) in fields {
            let known = at.fields().iter().find(|field| field.name() == *name);
            let asks = known.map(|field| field.asks);
            let Some(asks) = asks.filter(|asks| !matches!(asks, MapAsks::Pointed | MapAsks::Things)) else {
                let names: Vec<String> = at.fields().iter().map(MapField::name).collect();
                let near = nearest(name, names.iter().map(String::as_str)).unwrap_or_default();
                return Err(refused(
                    format!("`{name}` is nothing that can be said here ({near})"),
                    LOOK_AGAIN,
                ));
            };
            let was = self.said(at, name);
            match (asks, value.trim()) {
                (MapAsks::Switch(_), said) => self.set(at, name, Value::from(!said.is_empty())),
                (_, "") => self.take_out(at, name),
                (_, said) => self.set(at, name, Value::from(said)),
            }
            if name == "name"
                && let Some(was) = was
            {
                self.rename(at, &was, value.trim());
            }
        }
        self.take_out(at, GUESSED);
        Ok(())
    }

    pub(super) fn set(&mut self, at: SaidAt, field: &str, value: Value) {
        if let Some(table) = self.table(at) {
            set(table, field, value);
        }
    }

    fn take_out(&mut self, at: SaidAt, field: &str) {
        if let Some(table) = self.table(at) {
            take_out(table, field);
        }
    }

    /// What names a piece or an edge names it anew.
    fn rename(&mut self, at: SaidAt, was: &str, now: &str) {
        let (was, now, ends): (String, String, &[char]) = match at {
            SaidAt::Piece(_) => (was.to_owned(), now.to_owned(), &['.']),
            SaidAt::Edge(piece, _) => {
                self.rename_in_piece(piece, was, now);
                let piece = text(&self.map.pieces[piece].name);
                (format!("{piece}.{was}"), format!("{piece}.{now}"), BEHIND_EDGE)
            }
            _ => return,
        };
        for seam in 0..self.map.seams.len() {
            for field in NAMING_OF_SEAM {
                self.rename_in(SaidAt::Seam(seam), field, &was, &now, ends);
            }
        }
    }

    fn rename_in_piece(&mut self, piece: usize, was: &str, now: &str) {
        for (sort, field) in NAMING_EDGES {
            let Some(sort) = sort else {
                self.rename_in(SaidAt::Piece(piece), field, was, now, BEHIND_EDGE);
                continue;
            };
            for mark in 0..self.map.pieces[piece].drawn(sort).len() {
                self.rename_in(SaidAt::Mark(piece, sort, Some(mark)), field, was, now, BEHIND_EDGE);
            }
        }
    }

    fn rename_in(&mut self, at: SaidAt, field: &str, was: &str, now: &str, ends: &[char]) {
        let Some(written) = self.said(at, field) else { return };
        let renamed = |word: &str| match word.strip_prefix(was) {
            Some(rest) if rest.is_empty() || rest.starts_with(ends) => format!("{now}{rest}"),
            _ => word.to_owned(),
        };
        let renamed: Vec<String> = written.split_whitespace().map(renamed).collect();
        let renamed = renamed.join(" ");
        if renamed != written {
            self.set(at, field, Value::from(renamed));
        }
    }

    /// Sews two edges together, from the end that is likely where it has to be said.
    fn sew(&mut self, first: &str, second: &str) {
        let mut seam = Table::new();
        seam.insert("first", first.into());
        seam.insert("second", second.into());
        if let Some(from) = likely_from(self.found, self.map, first, second) {
            seam.insert("from", from.into());
        }
        push(self.document.as_table_mut(), "seam", seam, "");
    }

    fn sew_on(&mut self, seam: usize, beside: &str, edge: &str) -> Result<(), TextFault> {
        for side in ["first", "second"] {
            let written = self.said(SaidAt::Seam(seam), side).unwrap_or_default();
            let mut names: Vec<&str> = written.split_whitespace().collect();
            if let Some(at) = names.iter().position(|name| *name == beside) {
                names.insert(at + 1, edge);
                self.set(SaidAt::Seam(seam), side, Value::from(names.join(" ")));
                self.take_out(SaidAt::Seam(seam), GUESSED);
                return Ok(());
            }
        }
        Err(refused(format!("`{beside}` is not sewn there"), LOOK_AGAIN))
    }

    /// Adds a piece that is written as a map has it.
    fn add_piece(&mut self, letter: &str, written: &str) -> Result<(), TextFault> {
        let wrong = || refused(format!("no piece can be made of outline {letter}"), "take another outline");
        let made: DocumentMut = written.parse().map_err(|_| wrong())?;
        let pieces = made.get("piece").and_then(Item::as_array_of_tables);
        let mut piece = pieces.and_then(|pieces| pieces.get(0)).cloned().ok_or_else(wrong)?;
        forget_positions(&mut piece);
        strike(self.document.as_table_mut(), LineSort::Nothing.word(), letter);
        push(self.document.as_table_mut(), "piece", piece, "\n");
        Ok(())
    }

    /// The piece of an outline, and which of its edges has a number.
    fn edge_at(&self, letter: &str, number: usize) -> Result<(usize, Option<usize>), TextFault> {
        let piece = self.map.piece_of(letter);
        let piece = piece.ok_or_else(|| refused(format!("outline {letter} is no piece"), LOOK_AGAIN))?;
        let thing = MapThing::Edge(letter.to_owned(), number);
        match self.map.said_at(self.found, &thing) {
            Some(SaidAt::Edge(_, edge)) => Ok((piece, Some(edge))),
            _ => Ok((piece, None)),
        }
    }

    fn goes_on(&mut self, letter: &str, number: usize) -> Result<(), TextFault> {
        let (piece, Some(edge)) = self.edge_at(letter, number)? else {
            return Err(refused("this is no edge", "say first that it is one"));
        };
        let further = self.map.further(self.found, piece, edge);
        let Further { at, swallowed } = further
            .ok_or_else(|| refused("this edge goes all the way round", "take one of its corners out"))?;
        self.set(SaidAt::Edge(piece, edge), "at", Value::from(at));
        if let Some(other) = swallowed {
            self.remove_of_piece(piece, "edge", other);
        }
        Ok(())
    }

    fn is_edge(&mut self, letter: &str, number: usize) -> Result<(), TextFault> {
        let (piece, edge) = self.edge_at(letter, number)?;
        if edge.is_some() {
            return Ok(());
        }
        let mut made = Table::new();
        made.insert("at", number.to_string().into());
        made.insert("name", format!("edge-{number}").into());
        if let Some(table) = self.table(SaidAt::Piece(piece)) {
            push(table, "edge", made, "");
        }
        Ok(())
    }

    pub(super) fn remove_of_piece(&mut self, piece: usize, list: &str, at: usize) {
        let item = self.table(SaidAt::Piece(piece)).and_then(|piece| piece.get_mut(list));
        let removed = item.and_then(|item| removed(item, at));
        if let Some(table) = self.table(SaidAt::Piece(piece))
            && table.get(list).and_then(Item::as_array_of_tables).is_some_and(ArrayOfTables::is_empty)
        {
            table.remove(list);
        }
        self.pass_on(removed);
    }

    pub(super) fn remove(&mut self, list: &str, at: usize) {
        let item = self.document.get_mut(list);
        let removed = item.and_then(|item| removed(item, at));
        if self.document.get(list).and_then(Item::as_array_of_tables).is_some_and(ArrayOfTables::is_empty) {
            self.document.remove(list);
        }
        self.pass_on(removed);
    }

    /// What a person wrote above a table that was taken out stands above what comes after it.
    fn pass_on(&mut self, removed: Option<Removed>) {
        let Some(Removed { remarks, position: Some(position) }) = removed else { return };
        if !remarks.contains('#') {
            return;
        }
        let mut next: Option<(isize, &mut Table)> = None;
        nearest_after(self.document.as_table_mut(), position, &mut next);
        match next {
            Some((_, table)) => {
                let own = table.decor().prefix().and_then(|prefix| prefix.as_str()).unwrap_or_default();
                let both = format!("{remarks}{own}");
                table.decor_mut().set_prefix(both);
            }
            None => {
                let own = self.document.trailing().as_str().unwrap_or_default().to_owned();
                self.document.set_trailing(format!("{remarks}{own}"));
            }
        }
    }
}
