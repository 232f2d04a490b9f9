//! From the text of a cloth file to the cloth at hand.

use indexmap::IndexMap;

use crate::cloth::file::beside::{FilesBeside, PanelSource, UnreadBeside};
use crate::cloth::file::tables::{self, CLOTH_KEYS, PANELS};
use crate::cloth::{Cloth, Panel, Stock};
use crate::pattern::{ClothName, NameError, mistyped};
use crate::toml_file::{self, TableFields, TextFault, Value};

const OUTLINE: &str = "the file and the id in it: \"panels.svg#skirt-gore\"";

/// Reads the text of a cloth file, with what it names.
///
/// # Errors
///
/// Whatever is not as [`crate::cloth::file`] says, with its place in the text.
pub fn read(text: &str, beside: &mut dyn FilesBeside) -> Result<Stock, TextFault> {
    let root = toml_file::parse(text, "a cloth file")?;
    let mut entries: Vec<_> = root.get_ref().iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    let names = cloth_names(&entries)?;
    let mut panels: Vec<(ClothName, Panel)> = Vec::new();
    if let Some((_, value)) = entries.iter().find(|(key, _)| key.get_ref() == PANELS) {
        for entry in toml_file::list(value, "`panels`", "[[panels]]")? {
            panels.push(panel(entry, &names, beside)?);
        }
    }
    let mut cloths = Vec::new();
    for (key, value) in entries.iter().filter(|(key, _)| key.get_ref() != PANELS) {
        let name = key.get_ref();
        let what = format!("`{name}`");
        let table = toml_file::table(value, &what, &format!("a table, as any cloth: [{name}]"))?;
        let fields = TableFields::of(format!("[{name}]"), key.span(), table, &CLOTH_KEYS)?;
        let name = cloth_name(key.span(), name)?;
        let (own, others) = panels.into_iter().partition(|(cloth, _)| *cloth == name);
        panels = others;
        let own = own.into_iter().map(|(_, panel)| panel).collect();
        cloths.push(tables::cloth(name, &fields, own, beside)?);
    }
    cloths.extend(in_panels_only(panels)?);
    Stock::new(cloths).map_err(|error| {
        TextFault::new(
            0..0,
            "the file describes no cloth",
            error,
            "begin with [main], its width and its length",
        )
    })
}

/// The cloths of panels that have no table of their own.
fn in_panels_only(panels: Vec<(ClothName, Panel)>) -> Result<Vec<Cloth>, TextFault> {
    let mut of_cloth: IndexMap<ClothName, Vec<Panel>> = IndexMap::new();
    for (cloth, panel) in panels {
        of_cloth.entry(cloth).or_default().push(panel);
    }
    let cloth = |(name, panels)| {
        Cloth::new(name, Vec::new(), panels)
            .map_err(|error| TextFault::new(0..0, "the panels are no cloth", error, "leave some out"))
    };
    of_cloth.into_iter().map(cloth).collect()
}

fn cloth_name(span: std::ops::Range<usize>, name: &str) -> Result<ClothName, TextFault> {
    let fault =
        |why: &str| TextFault::new(span.clone(), "this cannot name a cloth", why, "write it like [main]");
    let name: ClothName = name.parse().map_err(|error: NameError| fault(&error.to_string()))?;
    match name == ClothName::none() {
        true => Err(fault("none is what pieces have that are not cut")),
        false => Ok(name),
    }
}

fn cloth_names(
    entries: &[(&toml::Spanned<toml::de::DeString<'_>>, &Value<'_>)],
) -> Result<Vec<ClothName>, TextFault> {
    let cloths = entries.iter().filter(|(key, _)| key.get_ref() != PANELS);
    cloths.map(|(key, _)| cloth_name(key.span(), key.get_ref())).collect()
}

fn panel(
    value: &Value<'_>,
    names: &[ClothName],
    beside: &mut dyn FilesBeside,
) -> Result<(ClothName, Panel), TextFault> {
    let table = toml_file::table(value, "a panel", "[[panels]]")?;
    let fields =
        TableFields::of("a panel".to_owned(), value.span(), table, &["cloth", "outline", "grain", "copies"])?;
    let of = fields.need("cloth", "\"main\"")?;
    let asked = toml_file::text(of, "cloth", "\"main\"")?;
    let known = || names.iter().map(ClothName::as_str);
    if let Some(known) = mistyped(asked, known().filter(|_| !known().any(|name| name == asked))) {
        let way_out =
            format!("did you mean \"{known}\"? A cloth of its own may be called [{asked}] in a table");
        return Err(TextFault::new(of.span(), format!("there is no cloth `{asked}`"), "not known", way_out));
    }
    let cloth = cloth_name(of.span(), asked)?;
    let drawn = fields.need("outline", "\"panels.svg#skirt-gore\"")?;
    let (file, outline) = toml_file::text(drawn, "outline", OUTLINE)?
        .rsplit_once('#')
        .filter(|(file, id)| !file.is_empty() && !id.is_empty())
        .ok_or_else(|| {
            TextFault::new(
                drawn.span(),
                "`outline` does not name a drawing and an id in it",
                "no `#`",
                format!("write {OUTLINE}"),
            )
        })?;
    let grain =
        fields.get("grain").map(|value| toml_file::text(value, "grain", "the id of a line in the drawing"));
    let source = PanelSource {
        file: file.to_owned(),
        outline: outline.to_owned(),
        grain: grain.transpose()?.map(str::to_owned),
    };
    let copies = fields
        .get("copies")
        .map(|value| toml_file::count(value, "copies", Panel::MOST_COPIES))
        .transpose()?;
    let unread = |UnreadBeside { what, way_out }| {
        let way_out = way_out.unwrap_or_else(|| format!("look at `{outline}` in `{file}`"));
        TextFault::new(drawn.span(), "the panel cannot be read", what, way_out)
    };
    let shape = beside.panel(&source).map_err(unread)?;
    let panel = Panel::new(outline.to_owned(), shape.outline, shape.grain, copies.unwrap_or(1));
    Ok((cloth, panel.map_err(|error| unread(error.to_string().into()))?))
}
