//! What is said of one thing of the drawing, and what can be said of it.

use serde::{Deserialize, Serialize};

use crate::adopt::{
    Found, Guess, LineSort, Map, MapAsks, MapEdit, MapThing, SaidAt, SaidField, edge_names, piece_names,
    said_fields,
};
use crate::table::bring::missing::{AnswerSeen, finish_said, say};
use crate::table::bring::reading::wrong;
use crate::table::bring::state::Bring;
use crate::table::said::Refused;
use crate::tolerance::ON_OUTLINE;
use crate::units::{Length, Unit};

/// Allowances that are usual.
const ALLOWANCES: [&str; 4] = ["0mm", "10mm", "15mm", "40mm"];

/// Names that are offered at once.
const NAMES: usize = 6;

/// What is asked of a thing.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ThingAsked {
    /// What is pressed.
    pub thing: MapThing,
    /// What was pressed before it.
    pub after: Option<MapThing>,
}

/// What is known of a thing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ThingSeen {
    /// What it is.
    pub says: String,
    /// What else there is to know.
    pub tells: Vec<String>,
    /// What can be said of it at one press.
    pub offers: Vec<AnswerSeen>,
    /// What can be said of it besides.
    pub fields: Vec<FieldSeen>,
}

/// A field of a thing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FieldSeen {
    /// Its name in the map.
    pub name: String,
    /// What it says.
    pub help: String,
    /// What is said.
    pub value: String,
    /// What may be said, each at one press.
    pub words: Vec<WordSeen>,
    /// Whether nothing else may be said.
    pub closed: bool,
}

/// Something that may be said in a field.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WordSeen {
    /// What it says.
    pub says: String,
    /// The value that it is.
    pub value: String,
    /// The change of the map that it is.
    pub edit: MapEdit,
}

impl Bring {
    /// What is known of a thing, and can be said of it.
    ///
    /// # Errors
    ///
    /// There is no such thing.
    pub fn thing(&self, asked: &ThingAsked) -> Result<ThingSeen, Refused> {
        let Some((found, map, text)) = self.mapped() else {
            return if asked.thing == MapThing::Drawing { Ok(self.drawing_seen()) } else { Err(unknown()) };
        };
        let unit = self.unit();
        let view = DrawingView { found, map, text, unit };
        match &asked.thing {
            MapThing::Drawing => view.of("The drawing.".to_owned(), &asked.thing, Vec::new()),
            MapThing::Outline(letter) => view.outline(letter),
            MapThing::Edge(letter, number) => view.edge(letter, *number, asked.after.as_ref()),
            MapThing::Line(letter) => view.line(letter),
            MapThing::Seam(at) => view.seam(*at),
        }
    }

    /// What can be said of the drawing before there is a map.
    fn drawing_seen(&self) -> ThingSeen {
        let asked =
            Map::FIELDS.iter().filter(|field| !matches!(field.asks, MapAsks::Pointed | MapAsks::Things));
        let fields = asked.map(|field| {
            let said = self.said().get(&field.name()).cloned();
            let value = said.unwrap_or_else(|| field.unsaid().to_owned());
            field_seen(&SaidField { field: *field, value }, &MapThing::Drawing, Vec::new())
        });
        ThingSeen {
            says: "The drawing.".to_owned(),
            tells: Vec::new(),
            offers: Vec::new(),
            fields: fields.collect(),
        }
    }
}

fn unknown() -> Refused {
    Refused::plain("this is not in the drawing any more", "look at it again")
}

fn field_seen(said: &SaidField, thing: &MapThing, likely: Vec<WordSeen>) -> FieldSeen {
    let name = said.field.name();
    let word = |value: &str, says: &str| WordSeen {
        says: says.to_owned(),
        value: value.to_owned(),
        edit: say(thing, &[(&name, value)]),
    };
    let (words, closed) = match said.field.asks {
        MapAsks::OneOf(words) => (words().into_iter().map(|value| word(value, value)).collect(), true),
        MapAsks::Switch(_) => (vec![word("yes", "yes"), word("", "no")], true),
        MapAsks::Like(words) => (words.iter().map(|value| word(value, value)).collect(), false),
        MapAsks::Name | MapAsks::Length | MapAsks::Text => (likely, false),
        MapAsks::Pointed | MapAsks::Things => (Vec::new(), true),
    };
    FieldSeen { help: said.field.help().to_owned(), value: said.value.clone(), words, closed, name }
}

/// The drawing and its map, looked at.
struct DrawingView<'a> {
    found: &'a Found,
    map: &'a Map,
    text: &'a str,
    unit: Unit,
}

impl DrawingView<'_> {
    fn show(&self, mm: f64) -> String {
        Length::from_mm(mm).show(self.unit)
    }

    /// A thing with its fields.
    fn of(&self, says: String, thing: &MapThing, offers: Vec<AnswerSeen>) -> Result<ThingSeen, Refused> {
        let at = self.map.said_at(self.found, thing);
        let said = at.map(|at| said_fields(self.text, self.found, at)).transpose();
        let said = said.map_err(|error| wrong(&error))?.unwrap_or_default();
        let fields = said.iter().map(|said| field_seen(said, thing, self.likely(said, thing)));
        Ok(ThingSeen { says, tells: Vec::new(), offers, fields: fields.collect() })
    }

    /// What a field likely says.
    fn likely(&self, said: &SaidField, thing: &MapThing) -> Vec<WordSeen> {
        let name = said.field.name();
        let values: Vec<String> = match (said.field.asks, thing) {
            (MapAsks::Name, MapThing::Outline(letter)) => {
                let taken: Vec<String> =
                    self.map.mapped(self.found).into_iter().map(|piece| piece.name).collect();
                let free = |name: &String| *name == said.value || !taken.contains(name);
                piece_names(self.found, letter).into_iter().filter(free).take(NAMES).collect()
            }
            (MapAsks::Name, MapThing::Edge(letter, number)) => {
                let pieces = self.map.mapped(self.found);
                let own = pieces.into_iter().find(|piece| piece.outline == *letter);
                let taken: Vec<String> =
                    own.into_iter().flat_map(|piece| piece.edges).map(|(_, name)| name).collect();
                let free = |name: &String| *name == said.value || !taken.contains(name);
                edge_names(self.found, letter, *number).into_iter().filter(free).take(NAMES).collect()
            }
            (MapAsks::Length, MapThing::Outline(_) | MapThing::Edge(..)) => {
                let mut values = self.map.allowances();
                values.extend(ALLOWANCES.iter().map(|value| (*value).to_owned()));
                let mut once: Vec<String> = Vec::new();
                values.into_iter().for_each(|value| {
                    if !once.contains(&value) {
                        once.push(value);
                    }
                });
                once
            }
            _ => Vec::new(),
        };
        let words = values.into_iter().map(|value| {
            // A hem that is called so is one.
            let is_hem = matches!(thing, MapThing::Edge(..)) && name == "name" && value == "hem";
            let edit = if is_hem {
                say(thing, &[("name", &value), ("finish", "hem")])
            } else {
                say(thing, &[(&name, &value)])
            };
            WordSeen { says: value.clone(), edit, value }
        });
        words.collect()
    }

    fn outline(&self, letter: &str) -> Result<ThingSeen, Refused> {
        let outline = self.found.outline(letter).ok_or_else(unknown)?;
        let thing = MapThing::Outline(letter.to_owned());
        let bounds = outline.bounds();
        let size = format!("{} by {}", self.show(bounds.width()), self.show(bounds.height()));
        let texts: Vec<&str> = outline.texts.iter().map(|at| self.found.texts[*at].text.as_str()).collect();
        let tells = if texts.is_empty() {
            Vec::new()
        } else {
            vec![format!("On it is written: {}.", texts.join(", "))]
        };
        let seen = match self.map.piece_name(letter) {
            Some(name) => {
                let offers = vec![
                    AnswerSeen::new("It is right", MapEdit::Confirm(vec![thing.clone()])),
                    AnswerSeen::new("It is no piece", MapEdit::Ignore(vec![thing.clone()])),
                ];
                let is_guess =
                    self.map.guesses(self.found).unwrap_or_default().iter().any(|guess| guess.thing == thing);
                let offers = if is_guess { offers } else { offers.into_iter().skip(1).collect() };
                self.of(format!("Outline {letter} is the piece {name}, {size}."), &thing, offers)
            }
            None => {
                let offers = vec![AnswerSeen::new("It is a piece", MapEdit::Piece(letter.to_owned()))];
                let no = (!self.map.is_ignored(letter))
                    .then(|| AnswerSeen::new("It is no piece", MapEdit::Ignore(vec![thing.clone()])));
                let is = if no.is_none() { "is no piece" } else { "may be a piece" };
                // A triangle or a diamond within a piece may be a dart.
                let dart = outline.inside.map(|_| {
                    AnswerSeen::new("It is a dart", MapEdit::Mark(LineSort::Dart, vec![letter.to_owned()]))
                });
                let offers = offers.into_iter().chain(dart).chain(no).collect();
                self.of(format!("Outline {letter}, {size}, {is}."), &thing, offers)
            }
        }?;
        Ok(ThingSeen { tells, ..seen })
    }

    fn edge(&self, letter: &str, number: usize, after: Option<&MapThing>) -> Result<ThingSeen, Refused> {
        let outline = self.found.outline(letter).ok_or_else(unknown)?;
        let edge = number.checked_sub(1).and_then(|at| outline.edges.get(at)).ok_or_else(unknown)?;
        let thing = MapThing::Edge(letter.to_owned(), number);
        let (length, shape) =
            (self.show(edge.length()), if edge.is_straight(ON_OUTLINE) { "straight" } else { "curved" });
        if self.map.piece_name(letter).is_none() {
            let offers =
                vec![AnswerSeen::new(format!("{letter} is a piece"), MapEdit::Piece(letter.to_owned()))];
            return Ok(ThingSeen {
                says: format!("Edge {number} of outline {letter}, which is no piece."),
                tells: Vec::new(),
                offers,
                fields: Vec::new(),
            });
        }
        match self.map.said_at(self.found, &thing) {
            Some(SaidAt::Edge(..)) => {}
            Some(_) => return self.of(format!("A leg of a dart, {length}."), &thing, Vec::new()),
            None => {
                let offers =
                    vec![AnswerSeen::new("It is an edge", MapEdit::IsEdge(letter.to_owned(), number))];
                return self.of(
                    format!("Part of a corner, {length}, {shape}: it is no edge."),
                    &thing,
                    offers,
                );
            }
        }
        let name = self.map.edge_name(self.found, letter, number).unwrap_or_default();
        let mut offers = self.sewing(&name, letter, &thing, after);
        let finishes = self.finishes(&thing);
        offers.extend(finishes);
        offers.push(AnswerSeen::new(
            "It goes on round the next corner",
            MapEdit::GoesOn(letter.to_owned(), number),
        ));
        offers.push(AnswerSeen::new("It is no edge", MapEdit::NoEdge(letter.to_owned(), number)));
        let seen = self.of(format!("{name}, {length}, {shape}."), &thing, offers)?;
        let fields = seen.fields.into_iter().filter(|field| field.name != "finish").collect();
        let hem = self.hem(&thing).into_iter();
        Ok(ThingSeen { tells: self.sewn(&name).into_iter().chain(hem).collect(), fields, ..seen })
    }

    /// How deep an edge is turned up that is said to be a hem.
    fn hem(&self, thing: &MapThing) -> Option<String> {
        let said = said_fields(self.text, self.found, self.map.said_at(self.found, thing)?).ok()?;
        let value = |name: &str| said.iter().find(|said| said.field.name() == name).map(|said| &said.value);
        if value("finish")? != "hem" {
            return None;
        }
        let depth: Option<Length> = value("allowance")?.parse().ok();
        Some(depth.map_or_else(
            || "It is a hem; nothing says how deep.".to_owned(),
            |depth| format!("It is a hem, {} deep.", depth.show(self.unit)),
        ))
    }

    /// The finish that an edge has, and those that it may have.
    fn finishes(&self, thing: &MapThing) -> Vec<AnswerSeen> {
        let at = self.map.said_at(self.found, thing);
        let said = at.and_then(|at| said_fields(self.text, self.found, at).ok()).unwrap_or_default();
        let finish = said.into_iter().find(|said| said.field.name() == "finish");
        let Some(finish) = finish else { return Vec::new() };
        let MapAsks::OneOf(words) = finish.field.asks else { return Vec::new() };
        let others = words().into_iter().filter(|word| *word != finish.value);
        others.map(|word| AnswerSeen::new(finish_said(word), say(thing, &[("finish", word)]))).collect()
    }

    /// What an edge can be sewn to: that which was pressed before it, or its mirrored copy; and that it is not.
    fn sewing(
        &self,
        name: &str,
        letter: &str,
        thing: &MapThing,
        after: Option<&MapThing>,
    ) -> Vec<AnswerSeen> {
        let mut offers = Vec::new();
        if let Some(MapThing::Edge(other, number)) = after.filter(|after| *after != thing)
            && let Some(other_name) = self.map.edge_name(self.found, other, *number)
            && !self.is_sewn(name, &other_name)
        {
            let curve = |letter: &str, number: usize| {
                self.found
                    .outline(letter)
                    .and_then(|outline| outline.edges.get(number - 1))
                    .map_or(0.0, |edge| edge.length())
            };
            let says = format!("Sew it to {other_name}, {}", self.show(curve(other, *number)));
            offers.push(AnswerSeen::new(says, MapEdit::Sew(other_name.clone(), name.to_owned())));
            for (at, across) in self.seams_of(&other_name) {
                let says = format!("Sew it to {across}, on after {other_name}");
                offers.push(AnswerSeen::new(says, MapEdit::SewOn(at, other_name.clone(), name.to_owned())));
            }
        }
        let mirrored = format!("{name}/m");
        if self.map.is_pair(letter) && !self.is_sewn(name, &mirrored) {
            offers.push(AnswerSeen::new(
                "Sew it to its mirrored copy",
                MapEdit::Sew(name.to_owned(), mirrored),
            ));
        }
        for (at, other) in self.seams_of(name) {
            offers.push(AnswerSeen::new(format!("It is not sewn to {other}"), MapEdit::Unsew(at)));
        }
        offers
    }

    /// The seams of an edge, each with its other side.
    fn seams_of(&self, name: &str) -> Vec<(usize, String)> {
        let names = |side: &str| side.split_whitespace().any(|edge| edge == name);
        let seams = (0..self.map.seam_count()).filter_map(|at| {
            let [first, second] = self.map.seam_sides(at)?;
            match (names(first), names(second)) {
                (true, _) => Some((at, second.to_owned())),
                (_, true) => Some((at, first.to_owned())),
                _ => None,
            }
        });
        seams.collect()
    }

    fn is_sewn(&self, name: &str, other: &str) -> bool {
        self.seams_of(name).iter().any(|(_, across)| across == other)
    }

    fn sewn(&self, name: &str) -> Vec<String> {
        self.seams_of(name).into_iter().map(|(_, other)| format!("It is sewn to {other}.")).collect()
    }

    fn line(&self, letter: &str) -> Result<ThingSeen, Refused> {
        let line = self.found.line(letter).ok_or_else(unknown)?;
        let thing = MapThing::Line(letter.to_owned());
        let is = match self.map.said_at(self.found, &thing) {
            Some(SaidAt::Mark(_, sort, _)) => Some(sort),
            _ => None,
        };
        let offers = LineSort::ALL.into_iter().filter(|sort| Some(*sort) != is);
        let offers =
            offers.map(|sort| AnswerSeen::new(sort_said(sort), MapEdit::Mark(sort, vec![letter.to_owned()])));
        let length = self.show(line.curve.length());
        let says = match is {
            Some(sort) => format!("Line {letter}, {length}: {}.", uncapital(&sort_said(sort))),
            None => format!("Line {letter}, {length}: {}, perhaps.", looks_like(line.guess)),
        };
        self.of(says, &thing, offers.collect())
    }

    fn seam(&self, at: usize) -> Result<ThingSeen, Refused> {
        let thing = MapThing::Seam(at);
        let name = self.map.seam_name(at).ok_or_else(unknown)?;
        let mut offers = Vec::new();
        if self.map.guesses(self.found).unwrap_or_default().iter().any(|guess| guess.thing == thing) {
            offers.push(AnswerSeen::new("It is right", MapEdit::Confirm(vec![thing.clone()])));
        }
        offers.push(AnswerSeen::new("They are not sewn", MapEdit::Unsew(at)));
        self.of(format!("{name}."), &thing, offers)
    }
}

fn looks_like(guess: Guess) -> String {
    match guess {
        Guess::Line => "a line".to_owned(),
        other => format!("a {}", other.word()),
    }
}

fn uncapital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// What a line is.
fn sort_said(sort: LineSort) -> String {
    match sort {
        LineSort::Grainline => "It is the grainline",
        LineSort::Dart => "It is a dart",
        LineSort::Notch => "It is a notch",
        LineSort::Level => "It is a level",
        LineSort::Point => "It is a point",
        LineSort::StyleLine => "It is a style line",
        LineSort::Mark => "It is kept as it is drawn",
        LineSort::Nothing => "It means nothing",
    }
    .to_owned()
}
