//! The text of a cloth file under change: one value is set or taken away, and what a person wrote around it stays as it is,
//! remarks and order included. Whether the text is then right its reader says.

use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, Value};

use crate::cloth::file::colours::PICTURES;
use crate::cloth::file::tables::{FLAWS_KEY, LENGTH_KEY, PANELS, STRIPES_KEY, WIDTH_KEY};
use crate::cloth::{Size, StripesAlong};
use crate::pattern::ClothName;
use crate::toml_file::TextFault;
use crate::units::Length;

/// A change of a cloth file.
#[derive(Clone, Debug, PartialEq)]
pub enum ClothEdit {
    /// A key of the cloth says something else: one text, or a truth; nothing takes it away.
    Said(&'static str, Option<KeyValue>),
    /// The width at a place along, where it was measured nearest to that; everywhere where it is one width.
    WidthAt(Length, Length),
    /// How long a length of it is, from 0.
    LengthOf(usize, Length),
    /// A flaw more, on a length from 0.
    NewFlaw(usize, FlawPlace),
    /// A flaw lies elsewhere, by its place in the list.
    FlawAt(usize, FlawPlace),
    /// A flaw is no more.
    NoFlaw(usize),
    /// Stripes of one way; nothing takes them away.
    Stripes(StripesAlong, Option<StripesSaid>),
    /// A photograph more.
    NewPicture(PictureSaid),
    /// From where to where on its length a photograph shows the cloth, by its place in the list.
    PictureStretch(usize, Length, Length),
    /// The corners of a photograph, by its place in the list, in its pixels.
    Corners(usize, [[f64; 2]; 4]),
    /// A photograph is no more.
    NoPicture(usize),
}

/// A photograph of a stretch of a length of cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureSaid {
    /// Its file, beside the cloth file.
    pub file: String,
    /// The length that it is of, from 0.
    pub on: usize,
    /// Where on that it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// The corners of the cloth on it, in its pixels: left start, right start, right end, left end.
    pub corners: [[f64; 2]; 4],
}

/// How stripes of one way come.
#[derive(Clone, Debug, PartialEq)]
pub enum StripesSaid {
    /// Every so far, from a first.
    Every(Length, Length),
    /// Each at a place that was measured, with its word where it has one; and where they come again, every so far.
    Marked(Vec<(Length, Option<String>)>, Option<Length>),
}

/// What a key says.
#[derive(Clone, Debug, PartialEq)]
pub enum KeyValue {
    /// A text.
    Text(String),
    /// Several texts.
    Texts(Vec<String>),
    /// Pairs of texts.
    Pairs(Vec<[String; 2]>),
    /// Yes or no.
    Truth(YesOrNo),
}

/// Yes or no.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YesOrNo {
    /// Yes.
    Yes,
    /// No.
    No,
}

/// Where a flaw lies: its corner toward the left selvedge and the start, and how far it reaches, across and along.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlawPlace {
    /// The corner.
    pub at: (Length, Length),
    /// How far it reaches.
    pub size: (Length, Length),
}

/// The text of a cloth file for a size.
#[must_use]
pub fn of_size(size: &Size) -> String {
    let mut file = DocumentMut::new();
    file.insert(ClothName::main().as_str(), Item::Table(table_of(size)));
    file.to_string()
}

fn table_of(size: &Size) -> Table {
    let (width, lengths) = size.measures();
    let lengths: Vec<Value> = lengths.map(text_of).collect();
    let mut table = Table::new();
    table.insert(WIDTH_KEY, Item::Value(text_of(width)));
    let length = match <[Value; 1]>::try_from(lengths) {
        Ok([one]) => one,
        Err(several) => Value::Array(several.into_iter().collect()),
    };
    table.insert(LENGTH_KEY, Item::Value(length));
    table
}

/// The text with one cloth more, by its size.
///
/// # Errors
///
/// It is no TOML; there is such a cloth already.
pub fn with_cloth(text: &str, cloth: &ClothName, size: &Size) -> Result<String, TextFault> {
    let mut file = document(text)?;
    if file.contains_key(cloth.as_str()) {
        let what = format!("there is a cloth `{cloth}` already");
        return Err(TextFault::new(0..0, what, "its name is taken", "give it another name"));
    }
    let mut table = table_of(size);
    table.decor_mut().set_prefix(if file.is_empty() { "" } else { "\n" });
    file.insert(cloth.as_str(), Item::Table(table));
    Ok(file.to_string())
}

/// Panels of a garment that was taken apart, all alike, as their outline stands in a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PanelsSaid {
    /// The cloth.
    pub cloth: ClothName,
    /// The drawing beside the cloth file, and the id of the outline in it.
    pub outline: String,
    /// How many there are.
    pub copies: u32,
}

/// The text with panels more.
///
/// # Errors
///
/// It is no TOML, or has panels in another form.
pub fn with_panels(text: &str, panels: &PanelsSaid) -> Result<String, TextFault> {
    let mut file = document(text)?;
    let mut table = Table::new();
    table.insert("cloth", toml_edit::value(panels.cloth.as_str()));
    table.insert("outline", toml_edit::value(panels.outline.as_str()));
    table.insert("copies", toml_edit::value(i64::from(panels.copies)));
    table.decor_mut().set_prefix(if file.is_empty() { "" } else { "\n" });
    let listed = file.entry(PANELS).or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    let Some(listed) = listed.as_array_of_tables_mut() else {
        let what = "the panels stand in another form";
        return Err(TextFault::new(0..0, what, "not [[panels]]", "write each as [[panels]]"));
    };
    listed.push(table);
    Ok(file.to_string())
}

/// The text with so many of the panels that stand at a place in the list; with none they are taken away, and the list with the
/// last.
///
/// # Errors
///
/// It is no TOML, or has no such panels.
pub fn with_panel_copies(text: &str, number: usize, copies: u32) -> Result<String, TextFault> {
    let mut file = document(text)?;
    let gone =
        || TextFault::new(0..0, "these panels are not there", "not there", "look at the cloth file again");
    let listed = file.get_mut(PANELS).and_then(Item::as_array_of_tables_mut).ok_or_else(gone)?;
    let panels = listed.get_mut(number).ok_or_else(gone)?;
    if copies > 0 {
        let said = panels.entry("copies").or_insert(Item::None);
        set(said, Value::from(i64::from(copies))).ok_or_else(gone)?;
        return Ok(file.to_string());
    }
    listed.remove(number);
    if listed.is_empty() {
        file.remove(PANELS);
    }
    Ok(file.to_string())
}

fn document(text: &str) -> Result<DocumentMut, TextFault> {
    text.parse().map_err(|error: toml_edit::TomlError| {
        TextFault::new(
            error.span().unwrap_or(0..0),
            "this is not a cloth file",
            error.message(),
            "write it as TOML",
        )
    })
}

/// The text with a change of one of its cloths.
///
/// # Errors
///
/// It is no TOML; it has no such cloth, or nothing there that could be changed so.
pub fn with_edit(text: &str, cloth: &ClothName, edit: &ClothEdit) -> Result<String, TextFault> {
    let mut file = document(text)?;
    let fault = |what: &str| TextFault::new(0..0, what, "not there", "look at the cloth file again");
    let table = file.get_mut(cloth.as_str()).and_then(Item::as_table_like_mut);
    let table = table.ok_or_else(|| fault(&format!("no table [{cloth}] stands in the cloth file")))?;
    let changed = match edit {
        ClothEdit::Said(key, None) => {
            table.remove(key);
            Some(())
        }
        ClothEdit::Said(key, Some(said)) => set(table.entry(key).or_insert(Item::None), said.value()),
        ClothEdit::WidthAt(at, width) => {
            table.get_mut(WIDTH_KEY).and_then(|item| set_width(item, *at, *width))
        }
        ClothEdit::LengthOf(number, length) => {
            table.get_mut(LENGTH_KEY).and_then(|item| match item.as_array_mut() {
                Some(lengths) => lengths.get_mut(*number).map(|value| replace(value, text_of(*length))),
                None => set(item, text_of(*length)),
            })
        }
        ClothEdit::NewFlaw(on, place) => {
            let flaws = table.entry(FLAWS_KEY).or_insert(Item::Value(Value::Array(Array::new())));
            flaws.as_array_mut().map(|flaws| {
                let mut flaw = place.table();
                insert_on(&mut flaw, *on);
                flaws.push(flaw);
            })
        }
        ClothEdit::FlawAt(number, place) => nth(table.get_mut(FLAWS_KEY), *number).and_then(|flaw| {
            let flaw = flaw.as_inline_table_mut()?;
            for (key, pair) in [("at", place.at), ("size", place.size)] {
                replace(flaw.get_mut(key)?, pair_of(pair));
            }
            Some(())
        }),
        ClothEdit::NoFlaw(number) => take_listed(table, FLAWS_KEY, *number),
        ClothEdit::Stripes(along, said) => set_stripes(table, *along, said.as_ref()),
        ClothEdit::NewPicture(said) => {
            let pictures = table.entry(PICTURES).or_insert(Item::Value(Value::Array(Array::new())));
            pictures.as_array_mut().map(|pictures| {
                // Those of one length stand in the order in which they lie on it.
                let at = pictures.iter().position(|other| said.lies_before(other));
                match at {
                    Some(at) => pictures.insert(at, said.table()),
                    None => pictures.push(said.table()),
                }
            })
        }
        ClothEdit::PictureStretch(number, from, to) => {
            nth(table.get_mut(PICTURES), *number).and_then(|picture| {
                let picture = picture.as_inline_table_mut()?;
                for (key, place) in [("from", from), ("to", to)] {
                    replace(picture.get_mut(key)?, text_of(*place));
                }
                Some(())
            })
        }
        ClothEdit::Corners(number, corners) => nth(table.get_mut(PICTURES), *number).and_then(|picture| {
            let picture = picture.as_inline_table_mut()?;
            match picture.get_mut("corners") {
                Some(there) => replace(there, corners_of(corners)),
                None => drop(picture.insert("corners", corners_of(corners))),
            }
            Some(())
        }),
        ClothEdit::NoPicture(number) => take_listed(table, PICTURES, *number),
    };
    changed.ok_or_else(|| fault("the cloth file has no such thing, or has it in another form"))?;
    Ok(file.to_string())
}

/// The text with the files beside it named otherwise: drawings of panels and photographs.
///
/// # Errors
///
/// It is no TOML.
pub fn with_files(text: &str, renamed: impl Fn(&str) -> String) -> Result<String, TextFault> {
    let mut file = document(text)?;
    let rename = |item: Option<&mut Item>| {
        if let Some(value) = item.and_then(Item::as_value_mut)
            && let Some(name) = value.as_str().map(&renamed)
        {
            replace(value, name.into());
        }
    };
    if let Some(panels) = file.get_mut(PANELS).and_then(Item::as_array_of_tables_mut) {
        panels.iter_mut().for_each(|panel: &mut Table| rename(panel.get_mut("outline")));
    }
    for (_, item) in file.iter_mut() {
        let pictures = item.as_table_like_mut().and_then(|table| table.get_mut(PICTURES));
        for picture in pictures.and_then(Item::as_array_mut).into_iter().flat_map(Array::iter_mut) {
            if let Some(value) = picture.as_inline_table_mut().and_then(|picture| picture.get_mut("file"))
                && let Some(name) = value.as_str().map(&renamed)
            {
                replace(value, name.into());
            }
        }
    }
    Ok(file.to_string())
}

impl KeyValue {
    fn value(&self) -> Value {
        match self {
            KeyValue::Text(text) => text.as_str().into(),
            KeyValue::Texts(texts) => texts.iter().map(String::as_str).collect::<Array>().into(),
            KeyValue::Pairs(pairs) => {
                let pairs = pairs.iter().map(|pair| pair.iter().map(String::as_str).collect::<Array>());
                pairs.collect::<Array>().into()
            }
            KeyValue::Truth(truth) => (*truth == YesOrNo::Yes).into(),
        }
    }
}

impl FlawPlace {
    fn table(&self) -> InlineTable {
        let mut flaw = InlineTable::new();
        flaw.insert("at", pair_of(self.at));
        flaw.insert("size", pair_of(self.size));
        flaw
    }
}

impl PictureSaid {
    fn table(&self) -> InlineTable {
        let mut picture = InlineTable::new();
        picture.insert("file", self.file.as_str().into());
        picture.insert("from", text_of(self.from));
        picture.insert("to", text_of(self.to));
        picture.insert("corners", corners_of(&self.corners));
        insert_on(&mut picture, self.on);
        picture
    }

    /// Whether it begins before one that stands in the list, on the same length.
    fn lies_before(&self, other: &Value) -> bool {
        let Some(other) = other.as_inline_table() else { return false };
        let on = other.get("on").and_then(Value::as_integer).unwrap_or(1);
        let from = other.get("from").and_then(Value::as_str).and_then(|from| from.parse::<Length>().ok());
        on == number_of(self.on) && from.is_some_and(|from| from.mm() > self.from.mm())
    }
}

/// A length from 0 as a person counts.
fn number_of(on: usize) -> i64 {
    i64::try_from(on).map_or(i64::MAX, |on| on.saturating_add(1))
}

/// Says of which length something is; nothing where it is of the first.
fn insert_on(table: &mut InlineTable, on: usize) {
    if on > 0 {
        table.insert("on", Value::from(number_of(on)));
    }
}

fn corners_of(corners: &[[f64; 2]; 4]) -> Value {
    let corners = corners.iter().map(|corner| corner.iter().copied().collect::<Array>());
    corners.collect::<Array>().into()
}

/// Takes what stands at a place of a list away, and the list with the last.
fn take_listed(table: &mut dyn toml_edit::TableLike, key: &str, number: usize) -> Option<()> {
    let listed = table.get_mut(key)?.as_array_mut().filter(|listed| number < listed.len())?;
    listed.remove(number);
    if listed.is_empty() {
        table.remove(key);
    }
    Some(())
}

/// A place of a stripe, and its word where it has one.
fn mark((at, word): &(Length, Option<String>)) -> Value {
    match word {
        None => text_of(*at),
        Some(word) => [text_of(*at), word.as_str().into()].into_iter().collect::<Array>().into(),
    }
}

fn text_of(length: Length) -> Value {
    length.to_string().into()
}

fn pair_of((first, second): (Length, Length)) -> Value {
    [first, second].iter().map(ToString::to_string).collect::<Array>().into()
}

/// Sets what an item says; what stands around it stays.
fn set(item: &mut Item, value: Value) -> Option<()> {
    match item {
        Item::Value(there) => replace(there, value),
        Item::None => *item = Item::Value(value),
        Item::Table(_) | Item::ArrayOfTables(_) => return None,
    }
    Some(())
}

/// Puts a value in the place of another, with the remarks and spaces around that.
fn replace(there: &mut Value, mut value: Value) {
    *value.decor_mut() = there.decor().clone();
    *there = value;
}

fn nth(item: Option<&mut Item>, number: usize) -> Option<&mut Value> {
    item?.as_array_mut()?.get_mut(number)
}

fn set_width(item: &mut Item, at: Length, width: Length) -> Option<()> {
    let Some(measured) = item.as_array_mut() else { return set(item, text_of(width)) };
    let away = |pair: &Value| {
        let place = pair.as_array()?.get(0)?.as_str()?.parse::<Length>().ok()?;
        Some((place.mm() - at.mm()).abs())
    };
    let places = measured.iter().map(|pair| away(pair).unwrap_or(f64::INFINITY)).enumerate();
    let (nearest, _) = places.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let pair = measured.get_mut(nearest)?.as_array_mut()?;
    replace(pair.get_mut(1)?, text_of(width));
    Some(())
}

/// Sets the stripes of one way; those of the other way stay.
fn set_stripes(
    table: &mut dyn toml_edit::TableLike,
    along: StripesAlong,
    said: Option<&StripesSaid>,
) -> Option<()> {
    let word = along.word();
    let runs = |set: &InlineTable| {
        set.get("along").and_then(Value::as_str).unwrap_or(StripesAlong::default().word()) == word
    };
    let mut sets: Vec<InlineTable> = match table.get(STRIPES_KEY) {
        None => Vec::new(),
        Some(Item::Value(Value::Array(sets))) => {
            sets.iter().map(|set| set.as_inline_table().cloned()).collect::<Option<_>>()?
        }
        Some(item) => vec![item.as_inline_table().cloned()?],
    };
    let was = sets.iter().position(runs);
    match (said, was) {
        (None, Some(was)) => drop(sets.remove(was)),
        (None, None) => {}
        (Some(said), was) => {
            let mut new = was.map(|was| sets[was].clone()).unwrap_or_default();
            let keys: Vec<(&str, Value)> = match said {
                StripesSaid::Every(repeat, first) => {
                    new.remove("marks");
                    vec![("repeat", text_of(*repeat)), ("first", text_of(*first))]
                }
                StripesSaid::Marked(marks, again) => {
                    new.remove("first");
                    if again.is_none() {
                        new.remove("repeat");
                    }
                    let again = again.map(|repeat| ("repeat", text_of(repeat)));
                    let marks = ("marks", Value::from(marks.iter().map(mark).collect::<Array>()));
                    again.into_iter().chain([marks]).collect()
                }
            };
            for (key, value) in keys.into_iter().chain([("along", word.into())]) {
                match new.get_mut(key) {
                    Some(there) => replace(there, value),
                    None => drop(new.insert(key, value)),
                }
            }
            match was {
                Some(was) => sets[was] = new,
                None => sets.push(new),
            }
        }
    }
    match sets.as_slice() {
        [] => drop(table.remove(STRIPES_KEY)),
        [one] => {
            let value = Value::InlineTable(one.clone());
            set(table.entry(STRIPES_KEY).or_insert(Item::None), value)?;
        }
        several => {
            let value: Array = several.iter().cloned().collect();
            set(table.entry(STRIPES_KEY).or_insert(Item::None), value.into())?;
        }
    }
    Some(())
}
