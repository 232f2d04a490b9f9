//! The colours of a cloth in a cloth file: measured along its lengths, or photographed.

use toml::de::DeValue;

use crate::cloth::Bolt;
use crate::cloth::colours::{
    Colour, ColourError, Colouring, Corners, MeasuredColours, Photograph, ShownCloth,
};
use crate::cloth::file::beside::{FilesBeside, UnreadBeside};
use crate::toml_file::{self, TableFields, TextFault, Value};
use crate::units::Length;

/// The keys of a cloth.
pub(super) const COLOURS: &str = "colours";
pub(super) const PICTURES: &str = "pictures";

const MEASURED: &str = "[[\"0m\", \"#31525b\"], [\"22cm\", \"#7a9e7e\"]]";
const EACH: &str = "[{ on = 1, measured = [[\"0m\", \"#31525b\"], [\"22cm\", \"#7a9e7e\"]] }]";
const PICTURE: &str = "[{ file = \"bolt-1.jpg\", from = \"0m\", to = \"0.27m\" }]";
const CORNERS: &str = "[[102, 88], [3980, 96], [3990, 2950], [95, 2940]]: pixels at left start, right start, right end, \
                       left end";

/// Adds the colours told of a cloth to its lengths.
pub(super) fn add(
    fields: &TableFields<'_>,
    bolts: &mut [Bolt],
    beside: &mut dyn FilesBeside,
) -> Result<(), TextFault> {
    if let Some(value) = fields.get(COLOURS) {
        add_measured(value, bolts)?;
    }
    if let Some(value) = fields.get(PICTURES) {
        let mut taken: Vec<Vec<Photograph>> = vec![Vec::new(); bolts.len()];
        for picture in toml_file::list(value, "`pictures`", PICTURE)? {
            let (on, photograph) = photograph(picture, bolts, beside)?;
            Colouring::add(&mut taken[on], photograph).map_err(meant(picture, PICTURES))?;
        }
        let taken = bolts.iter_mut().zip(taken).filter(|(_, taken)| !taken.is_empty());
        taken.for_each(|(bolt, taken)| bolt.set_colouring(Colouring::Photographed(taken)));
    }
    Ok(())
}

/// A fault of what a value means.
fn meant(value: &Value<'_>, key: &str) -> impl Fn(ColourError) -> TextFault {
    let (span, key) = (value.span(), key.to_owned());
    move |error| {
        let way_out = way_out(&error, &key);
        TextFault::new(span.clone(), format!("`{key}` is not right"), error, way_out)
    }
}

fn way_out(error: &ColourError, key: &str) -> &'static str {
    match error {
        ColourError::NotAColour(_) => "write a colour as a screen has it: \"#31525b\"",
        ColourError::TooFewColours | ColourError::ColoursOutOfOrder { .. } => {
            "measure along the cloth, from its start"
        }
        ColourError::BeyondEnd { .. } if key == COLOURS => {
            "measure as far as the cloth reaches, or say how long it is: length = \"4m\""
        }
        ColourError::BeyondEnd { .. } | ColourError::NoStretch { .. } => {
            "say from where to where on the cloth it is: from = \"0m\", to = \"0.27m\""
        }
        ColourError::PicturesOverlap { .. } => {
            "list them in order, and put the corners where one ends and the next begins"
        }
        ColourError::NotAPicture | ColourError::Unreadable(_) => "save the photograph as JPEG or PNG",
        ColourError::CutOff => "copy the file anew from where it came, or take the picture again",
        ColourError::TooManyPixels { .. } => {
            "make the picture smaller: 10 pixels for a millimetre are plenty"
        }
        ColourError::CornerOutside { .. } => {
            "read them off the upright picture: pixels from the left, then from the top"
        }
        ColourError::CornersCross | ColourError::CornersMirrored => {
            "list them in this order: left start, right start, right end, left end"
        }
        ColourError::TooCoarse { .. } => "take a larger picture, or several of it end to end",
    }
}

/// The length that something is on, of a cloth that has any.
fn on(table: &TableFields<'_>, bolts: &[Bolt], key: &str) -> Result<usize, TextFault> {
    if bolts.is_empty() {
        let what = format!("`{key}` are on no length of the cloth");
        return Err(TextFault::new(
            table.span.clone(),
            what,
            "panels only",
            "give the cloth a width and a length",
        ));
    }
    which_length(table, bolts.len())
}

fn add_measured(value: &Value<'_>, bolts: &mut [Bolt]) -> Result<(), TextFault> {
    let all = toml_file::list(value, "`colours`", MEASURED)?;
    let is_by_length = all.iter().any(|entry| matches!(entry.get_ref(), DeValue::Table(_)));
    if !is_by_length {
        return match bolts {
            [] => Err(TextFault::new(
                value.span(),
                "`colours` are on no length of the cloth",
                "panels only",
                "give the cloth a width and a length",
            )),
            [bolt] => measured(value, bolt),
            _ => Err(TextFault::new(
                value.span(),
                "the cloth has several lengths, each with colours of its own",
                "of which?",
                format!("write them as {EACH}"),
            )),
        };
    }
    for entry in all {
        let table = toml_file::table(entry, "`colours`", EACH)?;
        let table = TableFields::of("colours".to_owned(), entry.span(), table, &["on", "measured"])?;
        let on = on(&table, bolts, COLOURS)?;
        if bolts[on].colouring().is_some() {
            let what = format!("the colours of length {} are given twice", on + 1);
            return Err(TextFault::new(entry.span(), what, "again", "leave one of the two out"));
        }
        measured(table.need("measured", MEASURED)?, &mut bolts[on])?;
    }
    Ok(())
}

/// Reads colours as measured along a length.
fn measured(value: &Value<'_>, bolt: &mut Bolt) -> Result<(), TextFault> {
    let mut colours: Vec<(Length, Colour)> = Vec::new();
    for entry in toml_file::list(value, "`colours`", MEASURED)? {
        let [at, colour] = toml_file::list(entry, "`colours`", MEASURED)? else {
            let way_out = format!("write them as {MEASURED}");
            return Err(TextFault::new(entry.span(), "a colour is a place and a colour", "not two", way_out));
        };
        let text = toml_file::text(colour, COLOURS, "\"#31525b\"")?;
        colours.push((toml_file::length(at, "`colours`")?, text.parse().map_err(meant(colour, COLOURS))?));
    }
    let colours = MeasuredColours::new(colours, bolt.length()).map_err(meant(value, COLOURS))?;
    bolt.set_colouring(Colouring::Measured(colours));
    Ok(())
}

/// Reads a photograph, and of which length it is.
fn photograph(
    value: &Value<'_>,
    bolts: &[Bolt],
    beside: &mut dyn FilesBeside,
) -> Result<(usize, Photograph), TextFault> {
    let table = toml_file::table(value, "a picture", PICTURE)?;
    let keys = ["file", "from", "to", "corners", "on"];
    let table = TableFields::of("a picture".to_owned(), value.span(), table, &keys)?;
    let on = on(&table, bolts, PICTURES)?;
    let named = table.need("file", "\"bolt-1.jpg\"")?;
    let file = toml_file::text(named, "file", "\"bolt-1.jpg\"")?;
    let place = |key: &str, example: &str| toml_file::length(table.need(key, example)?, &format!("`{key}`"));
    let shown = ShownCloth {
        from: place("from", "\"0m\"")?,
        to: place("to", "\"0.27m\"")?,
        corners: table.get("corners").map(corners).transpose()?,
    };
    let bytes = beside.picture(file).map_err(|UnreadBeside { what, way_out }| {
        let way_out = way_out.unwrap_or_else(|| format!("look at `{file}`"));
        TextFault::new(named.span(), "the picture cannot be read", what, way_out)
    })?;
    let photograph = Photograph::read(&bytes, shown, bolts[on].width(), bolts[on].length());
    Ok((on, photograph.map_err(meant(value, PICTURES))?))
}

fn corners(value: &Value<'_>) -> Result<Corners, TextFault> {
    let not_four = || {
        TextFault::new(
            value.span(),
            "`corners` are four pairs of pixels",
            "not four pairs",
            format!("write {CORNERS}"),
        )
    };
    let mut found: Corners = [[0.0; 2]; 4];
    let all = toml_file::list(value, "`corners`", CORNERS)?;
    if all.len() != found.len() {
        return Err(not_four());
    }
    for (corner, pair) in found.iter_mut().zip(all) {
        let [x, y] = toml_file::list(pair, "`corners`", CORNERS)? else { return Err(not_four()) };
        *corner = [toml_file::number(x, "`corners`", CORNERS)?, toml_file::number(y, "`corners`", CORNERS)?];
    }
    Ok(found)
}

/// Which length of a cloth a table is for, as a place among them: what it says with `on`, else the first.
pub(super) fn which_length(table: &TableFields<'_>, lengths: usize) -> Result<usize, TextFault> {
    let on = table.get("on").map(|on| toml_file::count(on, "on", lengths.max(1) as u32)).transpose()?;
    Ok(on.unwrap_or(1) as usize - 1)
}
