//! The cloth, over HTTP.

use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};

use crate::cloth::{Cloth, Stock};
use crate::pattern::{ClothName, Pattern};
use crate::table::cloth::file::{ClothFile, ClothHome};
use crate::table::cloth::form::{edit, fields};
use crate::table::cloth::hand::{ClothHand, gone, ground_of};
use crate::table::cloth::listed::{flaws, panels as listed_panels, pictures};
use crate::table::cloth::photograph::{LARGEST_PHOTOGRAPH, PhotographAsked, PhotographSort};
use crate::table::cloth::wedges::Wedges;
use crate::table::form::FormField;
use crate::table::product::Product;
use crate::table::shared::{PageSeen, Shared, answer, changed, json, missing, work};
use crate::table::state::Table;
use crate::units::{Length, Unit};

pub(in crate::table) fn routes() -> Router<Arc<Shared>> {
    Router::new()
        .route("/cloth", get(seen))
        .route("/cloth/say", post(say))
        .route("/cloth/size", post(size))
        .route("/cloth/other", post(other))
        .route("/cloth/panels", post(panels))
        .route("/cloth/panel-copies", post(panel_copies))
        .route("/cloth/hand", post(hand))
        .route("/cloth/back", post(back))
        .route("/cloth/picture/{cloth}/{number}", get(picture))
        .route("/cloth/photograph", post(photograph).layer(DefaultBodyLimit::max(LARGEST_PHOTOGRAPH)))
}

/// What there is of the cloth.
#[derive(Default, Serialize)]
#[serde(rename_all = "kebab-case")]
struct ClothsSeen {
    /// Where it stands, and what becomes of it, in sentences.
    says: Vec<String>,
    /// Each cloth that can be changed.
    cloths: Vec<ClothByHand>,
    /// Whether the last change can be taken back.
    can_take_back: bool,
    /// Whether no cloth is said.
    is_asked: bool,
    /// Whether more cloth may be said.
    can_be_said: bool,
}

/// A cloth as a hand changes it.
#[derive(Serialize)]
struct ClothByHand {
    name: ClothName,
    fields: Vec<FormField>,
    /// Where each length lies: left, top, width, height, mm.
    lengths: Vec<[f64; 4]>,
    flaws: Vec<FlawByHand>,
    panels: Vec<PanelsByHand>,
    pictures: Vec<PictureByHand>,
}

#[derive(Serialize)]
struct FlawByHand {
    number: usize,
    /// Left, top, width, height, mm on the table.
    lies: [f64; 4],
    says: String,
}

/// So many panels alike.
#[derive(Serialize)]
struct PanelsByHand {
    number: usize,
    copies: u32,
    says: String,
}

#[derive(Serialize)]
struct PictureByHand {
    file: String,
    /// The length that it is of, from 0, and where on that it begins and ends.
    on: usize,
    from: String,
    to: String,
    /// Its corners, pixels; none where they are the picture's own.
    corners: Option<[[f64; 2]; 4]>,
}

async fn seen(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &cloths_seen(&shared.table()))).await
}

fn cloths_seen(table: &Table) -> ClothsSeen {
    let laid = table.laid();
    let Some(file) = &table.cloth_file else { return ClothsSeen::default() };
    let said =
        ClothsSeen { can_take_back: !file.before.is_empty(), can_be_said: true, ..ClothsSeen::default() };
    let Some(stock) = laid.stock.as_deref() else { return ClothsSeen { is_asked: true, ..said } };
    let cloths = stock.cloths().map(|cloth| by_hand(file, (stock, cloth), laid.as_it_lies(), laid.unit));
    ClothsSeen { says: says(file), cloths: cloths.collect(), ..said }
}

fn says(file: &ClothFile) -> Vec<String> {
    let own = Product::Cloth.file();
    let stands = match &file.home {
        ClothHome::Folder | ClothHome::Nowhere => {
            format!("What is set here is written to {own} in the folder of this table.")
        }
        ClothHome::Elsewhere(name) => {
            format!(
                "{name} stays as it is: what is set here is written to {own} in the folder of this table."
            )
        }
    };
    let nonsense = file.nonsense.iter().map(|(_, why)| {
        format!("{own} cannot be read as it stands on disk now: {why}. The cloth lies as it did.")
    });
    [stands].into_iter().chain(nonsense).collect()
}

fn by_hand(file: &ClothFile, (stock, cloth): (&Stock, &Cloth), pattern: &Pattern, unit: Unit) -> ClothByHand {
    let show = |mm: f64| Length::from_mm(mm.round()).show(unit);
    let name = cloth.name();
    let lies = |on: usize| ground_of(pattern, (stock, cloth), on);
    let lengths = (0..cloth.bolts().len()).filter_map(lies);
    let flaws = flaws(&file.text, stock, name).into_iter().filter_map(|flaw| {
        let ground = lies(flaw.on)?;
        Some(FlawByHand {
            number: flaw.number,
            lies: [ground.x0 + flaw.at.0, ground.y0 + flaw.at.1, flaw.size.0, flaw.size.1],
            says: format!(
                "flaw, {} across and {} along, {} × {}",
                show(flaw.at.0),
                show(flaw.at.1),
                show(flaw.size.0),
                show(flaw.size.1)
            ),
        })
    });
    let panels = listed_panels(&file.text, cloth).into_iter().map(|panels| {
        let (across, along) = panels.reach;
        let says = format!("panels alike, {} × {} each", show(across), show(along));
        PanelsByHand { number: panels.number, copies: panels.copies, says }
    });
    let pictures = pictures(&file.text, name).into_iter().map(|picture| PictureByHand {
        file: picture.file,
        on: picture.on,
        from: picture.from,
        to: picture.to,
        corners: picture.corners,
    });
    ClothByHand {
        name: name.clone(),
        fields: fields(&file.text, name),
        lengths: lengths.map(|ground| [ground.x0, ground.y0, ground.width(), ground.height()]).collect(),
        flaws: flaws.collect(),
        panels: panels.collect(),
        pictures: pictures.collect(),
    }
}

/// A field that is filled in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SayAsked {
    revision: u64,
    cloth: ClothName,
    field: String,
    value: String,
}

async fn say(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, asked: SayAsked| {
        table.refuse_outside(asked.revision)?;
        let edit = edit(&asked.field, &asked.value)?;
        table.keep_cloth_edit(&asked.cloth, &edit)
    };
    changed(shared, &body, do_it).await
}

/// The size of a cloth that is said for the first time.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeAsked {
    revision: u64,
    size: String,
}

async fn size(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, asked: SizeAsked| {
        table.refuse_outside(asked.revision)?;
        table.keep_cloth_size(&asked.size)
    };
    changed(shared, &body, do_it).await
}

/// A cloth that is said beside others.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OtherAsked {
    revision: u64,
    cloth: ClothName,
    size: String,
}

async fn other(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, asked: OtherAsked| {
        table.refuse_outside(asked.revision)?;
        table.keep_other_cloth(&asked.cloth, &asked.size)
    };
    changed(shared, &body, do_it).await
}

/// Panels of a garment that was taken apart.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PanelsAsked {
    revision: u64,
    panels: Wedges,
}

async fn panels(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, asked: PanelsAsked| {
        table.refuse_outside(asked.revision)?;
        table.keep_panels(&asked.panels)
    };
    changed(shared, &body, do_it).await
}

/// How many there are of panels that lie there.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PanelCopiesAsked {
    revision: u64,
    number: usize,
    copies: u32,
}

async fn panel_copies(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, asked: PanelCopiesAsked| {
        table.refuse_outside(asked.revision)?;
        table.keep_panel_copies(asked.number, asked.copies)
    };
    changed(shared, &body, do_it).await
}

/// What a hand does.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HandAsked {
    revision: u64,
    cloth: ClothName,
    hand: ClothHand,
}

async fn hand(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, asked: HandAsked| {
        table.refuse_outside(asked.revision)?;
        let laid = table.laid();
        let stock = laid.stock.as_deref().ok_or_else(gone)?;
        let text = table.cloth_file.as_ref().map(|file| file.text.clone()).ok_or_else(gone)?;
        let edit = asked.hand.edit((&text, stock), &asked.cloth, laid.as_it_lies())?;
        table.keep_cloth_edit(&asked.cloth, &edit)
    };
    changed(shared, &body, do_it).await
}

/// A photograph that is dropped: what is said of it on the first line, then its bytes.
async fn photograph(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let said = body.iter().position(|byte| *byte == b'\n').unwrap_or(body.len());
    let bytes = body.slice((said + 1).min(body.len())..);
    let do_it = move |table: &mut Table, asked: PhotographAsked| {
        table.refuse_outside(asked.revision)?;
        table.keep_photograph(&asked, &bytes)
    };
    changed(shared, &body[..said], do_it).await
}

async fn back(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, seen: PageSeen| {
        table.refuse_outside(seen.revision)?;
        table.take_cloth_back()
    };
    changed(shared, &body, do_it).await
}

/// A photograph of a cloth, of those that its file names.
async fn picture(
    State(shared): State<Arc<Shared>>,
    Path((cloth, number)): Path<(String, usize)>,
) -> Response {
    let look = move || {
        let none = || missing("picture");
        let (folder, text) = {
            let table = shared.table();
            let text = table.cloth_file.as_ref().map(|file| file.text.clone()).unwrap_or_default();
            (table.folder().to_owned(), text)
        };
        let Ok(cloth) = cloth.parse::<ClothName>() else { return none() };
        let found = pictures(&text, &cloth);
        let Some(picture) = found.get(number) else { return none() };
        let bytes = std::fs::read(folder.join(&picture.file)).unwrap_or_default();
        match PhotographSort::of(&bytes) {
            Some(sort) => answer(StatusCode::OK, sort.media(), bytes),
            None => none(),
        }
    };
    work(look).await
}
