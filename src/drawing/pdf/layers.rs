//! The layers of a file (optional content, ISO 32000-1, 8.11): what they are called, and which are switched on.

use std::collections::{HashMap, HashSet};

use hayro_syntax::Pdf;
use hayro_syntax::object::{Array, Dict, Name, ObjectIdentifier, String as PdfString};

use super::limits::LAYERS;
use super::text_string::text_string;
use crate::drawing::drawn::Shown;

/// What a layer, or a combination of layers, is called, and whether the file shows it.
#[derive(Clone, Debug)]
pub(super) struct LayerState {
    pub name: String,
    pub shown: Shown,
}

impl LayerState {
    pub fn is_shown(&self) -> bool {
        self.shown == Shown::Yes
    }
}

/// The layers that a file lists.
pub(super) struct FileLayers<'a> {
    pdf: &'a Pdf,
    groups: HashMap<ObjectIdentifier, LayerState>,
}

impl<'a> FileLayers<'a> {
    pub fn of(pdf: &'a Pdf) -> FileLayers<'a> {
        let catalog = pdf.xref().get::<Dict<'_>>(pdf.xref().root_id());
        let properties = catalog.and_then(|catalog| catalog.get::<Dict<'_>>(b"OCProperties"));
        let groups = properties.map(|properties| groups(pdf, &properties)).unwrap_or_default();
        FileLayers { pdf, groups }
    }

    /// The layer that an object is, or the combination of layers.
    pub fn state(&self, id: ObjectIdentifier) -> Option<LayerState> {
        if let Some(known) = self.groups.get(&id) {
            return Some(known.clone());
        }
        self.state_of_direct(&self.pdf.xref().get::<Dict<'_>>(id)?)
    }

    /// The layer that an entry of a dictionary is or refers to.
    pub fn state_of_entry(&self, dict: &Dict<'_>, key: &[u8]) -> Option<LayerState> {
        match dict.get_ref(key) {
            Some(reference) => self.state(reference.into()),
            None => self.state_of_direct(&dict.get::<Dict<'_>>(key)?),
        }
    }

    /// The layer that a dictionary is, or the combination of layers.
    pub fn state_of_direct(&self, dict: &Dict<'_>) -> Option<LayerState> {
        match dict.get::<Name<'_>>(b"Type").as_deref() {
            Some(b"OCG") => Some(LayerState { name: name_of(dict), shown: Shown::Yes }),
            Some(b"OCMD") => self.combined(dict),
            _ => None,
        }
    }

    /// What several layers are together; none where none is named.
    fn combined(&self, dict: &Dict<'_>) -> Option<LayerState> {
        let ids: Vec<ObjectIdentifier> = match dict.get::<Array<'_>>(b"OCGs") {
            Some(array) => ids(&array).collect(),
            None => dict.get_ref(b"OCGs").map(Into::into).into_iter().collect(),
        };
        let of: Vec<&LayerState> = ids.iter().filter_map(|id| self.groups.get(id)).collect();
        if of.is_empty() {
            return None;
        }
        let on = |layer: &&LayerState| layer.is_shown();
        let shows = match dict.get::<Name<'_>>(b"P").as_deref() {
            Some(b"AllOn") => of.iter().all(on),
            Some(b"AnyOff") => !of.iter().all(on),
            Some(b"AllOff") => !of.iter().any(on),
            _ => of.iter().any(on),
        };
        let names: Vec<&str> = of.iter().map(|layer| layer.name.as_str()).collect();
        Some(LayerState { name: names.join(", "), shown: if shows { Shown::Yes } else { Shown::No } })
    }
}

fn ids(array: &Array<'_>) -> impl Iterator<Item = ObjectIdentifier> {
    array.raw_iter().take(LAYERS).filter_map(|item| item.as_obj_ref()).map(Into::into)
}

fn name_of(group: &Dict<'_>) -> String {
    let name = group.get::<PdfString<'_>>(b"Name").map(|name| text_string(name.as_bytes()));
    name.unwrap_or_default().trim().to_owned()
}

fn groups(pdf: &Pdf, properties: &Dict<'_>) -> HashMap<ObjectIdentifier, LayerState> {
    let default = properties.get::<Dict<'_>>(b"D").unwrap_or_default();
    let listed = |key: &[u8]| -> HashSet<ObjectIdentifier> {
        default.get::<Array<'_>>(key).iter().flat_map(ids).collect()
    };
    let (on, off) = (listed(b"ON"), listed(b"OFF"));
    let all_off = default.get::<Name<'_>>(b"BaseState").as_deref() == Some(&b"OFF"[..]);
    let all = properties.get::<Array<'_>>(b"OCGs");
    let state = |id: ObjectIdentifier| {
        let group = pdf.xref().get::<Dict<'_>>(id)?;
        let hidden = off.contains(&id) || (all_off && !on.contains(&id));
        Some((id, LayerState { name: name_of(&group), shown: if hidden { Shown::No } else { Shown::Yes } }))
    };
    all.iter().flat_map(ids).filter_map(state).collect()
}
