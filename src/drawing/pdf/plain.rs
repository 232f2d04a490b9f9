//! A plain copy of a PDF: nothing in it is encrypted, packed in object streams or switched off.
//!
//! The interpreter follows the layers' own on and off and tells nothing of the layers of form objects. In the copy every
//! layer is on; what a layer is called and whether the file shows it stand in the properties of its marked content
//! ([`LAYER_NAME`], [`LAYER_SHOWN`]), and a form object of a layer is marked content of it. Pictures lose their pixels.
//! How much work the pages are is known before any of them is drawn.

use std::collections::{HashMap, VecDeque};

use hayro_syntax::Pdf;
use hayro_syntax::object::{Dict, MaybeRef, Name, Object, ObjectIdentifier, Stream};

use super::layers::{FileLayers, LayerState};
use super::limits::{COPY_MEGABYTES, OBJECT_DEPTH, OBJECTS};
use super::unpacked::{refuse_bomb, unpacked};
use super::written::{write_hex, write_name, write_number};
use crate::drawing::DrawingError;

/// Under which key the properties of a layer hold its name, in UTF-8.
pub(super) const LAYER_NAME: &[u8] = b"RetrueLayer";

/// Under which key they hold whether the file shows it.
pub(super) const LAYER_SHOWN: &[u8] = b"RetrueShown";

/// Copies all that the pages of a file need.
///
/// # Errors
///
/// A file without a catalog, or with far too much in it.
pub(super) fn plain_copy(pdf: &Pdf, layers: &FileLayers<'_>) -> Result<Vec<u8>, DrawingError> {
    let mut copier = Copier {
        pdf,
        layers,
        numbers: HashMap::new(),
        to_copy: VecDeque::new(),
        out: b"%PDF-1.7\n".to_vec(),
        starts: Vec::new(),
    };
    let root = copier.number(pdf.xref().root_id(), Role::Any);
    while let Some((id, role)) = copier.to_copy.pop_front() {
        copier.object(id, role)?;
    }
    Ok(copier.finished(root))
}

/// What an object is copied as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    /// As it stands.
    Any,
    /// The contents of a page, or a part of them.
    Contents,
}

struct Copier<'a> {
    pdf: &'a Pdf,
    layers: &'a FileLayers<'a>,
    numbers: HashMap<ObjectIdentifier, usize>,
    to_copy: VecDeque<(ObjectIdentifier, Role)>,
    out: Vec<u8>,
    /// Where each object begins; they are numbered from 1 in the order in which they were met.
    starts: Vec<usize>,
}

impl Copier<'_> {
    /// The number of an object in the copy, where it is put into the queue when it is met first.
    fn number(&mut self, id: ObjectIdentifier, role: Role) -> usize {
        let next = self.numbers.len() + 1;
        *self.numbers.entry(id).or_insert_with(|| {
            self.to_copy.push_back((id, role));
            next
        })
    }

    fn object(&mut self, id: ObjectIdentifier, role: Role) -> Result<(), DrawingError> {
        self.starts.push(self.out.len());
        let number = self.starts.len();
        if number > OBJECTS {
            return Err(DrawingError::PdfTooMuch { what: format!("over {OBJECTS} objects") });
        }
        self.text(&format!("{number} 0 obj\n"));
        let layer = self.layers.state(id);
        match self.pdf.xref().get::<Object<'_>>(id) {
            Some(_) if layer.is_some() => self.layer(layer.as_ref()),
            Some(Object::Stream(stream)) => self.stream(&stream, role)?,
            Some(object) => self.value(&object, role, 0)?,
            None => self.text("null"),
        }
        self.text("\nendobj\n");
        if self.out.len() > COPY_MEGABYTES << 20 {
            return Err(DrawingError::PdfUnpacks { limit: COPY_MEGABYTES });
        }
        Ok(())
    }

    fn text(&mut self, text: &str) {
        self.out.extend_from_slice(text.as_bytes());
    }

    /// The properties of a layer.
    fn layer(&mut self, layer: Option<&LayerState>) {
        let Some(layer) = layer else { return self.text("null") };
        self.text("<<");
        write_name(&mut self.out, LAYER_NAME);
        write_hex(&mut self.out, layer.name.as_bytes());
        write_name(&mut self.out, LAYER_SHOWN);
        self.text(if layer.is_shown() { " true>>" } else { " false>>" });
    }

    fn value(&mut self, object: &Object<'_>, role: Role, depth: usize) -> Result<(), DrawingError> {
        if depth > OBJECT_DEPTH {
            let what = format!("objects that stand over {OBJECT_DEPTH} deep in each other");
            return Err(DrawingError::PdfTooMuch { what });
        }
        match object {
            Object::Null(_) => self.text(" null"),
            Object::Boolean(value) => self.text(if *value { " true" } else { " false" }),
            Object::Number(number) => write_number(&mut self.out, number.as_f64()),
            Object::String(string) => write_hex(&mut self.out, string.as_bytes()),
            Object::Name(name) => write_name(&mut self.out, name),
            Object::Array(array) => {
                self.text("[");
                for item in array.raw_iter() {
                    self.reference_or_value(&item, role, depth)?;
                }
                self.text("]");
            }
            Object::Dict(dict) => self.dict(dict, &[], depth)?,
            // A stream is always an object of its own.
            Object::Stream(_) => self.text(" null"),
        }
        Ok(())
    }

    fn reference_or_value(
        &mut self,
        item: &MaybeRef<Object<'_>>,
        role: Role,
        depth: usize,
    ) -> Result<(), DrawingError> {
        match item {
            MaybeRef::Ref(reference) => {
                let number = self.number((*reference).into(), role);
                self.text(&format!(" {number} 0 R"));
                Ok(())
            }
            MaybeRef::NotRef(object) => self.value(object, role, depth + 1),
        }
    }

    /// A dictionary without some of its entries; of the catalog and of pages only what is needed to draw them.
    fn dict(&mut self, dict: &Dict<'_>, without: &[&[u8]], depth: usize) -> Result<(), DrawingError> {
        const DRAWN: [&[u8]; 12] = [
            b"Type",
            b"Pages",
            b"Kids",
            b"Count",
            b"Parent",
            b"Resources",
            b"Contents",
            b"MediaBox",
            b"CropBox",
            b"Rotate",
            b"UserUnit",
            b"Group",
        ];
        if let Some(layer) = self.layers.state_of_direct(dict) {
            self.layer(Some(&layer));
            return Ok(());
        }
        let of_pages =
            matches!(dict.get::<Name<'_>>(b"Type").as_deref(), Some(b"Catalog" | b"Pages" | b"Page"));
        self.text("<<");
        for (name, value) in dict.entries() {
            let key: &[u8] = &name;
            if without.contains(&key) || (of_pages && !DRAWN.contains(&key)) {
                continue;
            }
            write_name(&mut self.out, key);
            let role = if key == b"Contents" { Role::Contents } else { Role::Any };
            self.reference_or_value(&value, role, depth)?;
        }
        self.text(">>");
        Ok(())
    }

    fn stream(&mut self, stream: &Stream<'_>, role: Role) -> Result<(), DrawingError> {
        let dict = stream.dict();
        let subtype = dict.get::<Name<'_>>(b"Subtype");
        match subtype.as_deref() {
            Some(b"Image") => {
                self.picture(dict);
                Ok(())
            }
            Some(b"Form") => self.form(stream),
            _ if role == Role::Contents => {
                let data = unpacked(stream)?;
                self.put_stream(dict, &[b"Filter", b"DecodeParms", b"F", b"DP"], &data)
            }
            _ => {
                refuse_bomb(stream)?;
                self.put_stream(dict, &[], &stream.raw_data())
            }
        }
    }

    /// A picture with its size and without its pixels.
    fn picture(&mut self, dict: &Dict<'_>) {
        let size = |key: &[u8]| dict.get::<i32>(key).unwrap_or(1).max(1);
        let (width, height) = (size(b"Width"), size(b"Height"));
        self.text(&format!(
            "<</Subtype/Image/Width {width}/Height {height}/ColorSpace/DeviceGray/BitsPerComponent 8/Length 0>>\nstream\n\n\
             endstream"
        ));
    }

    /// A form object; one of a layer as marked content of it.
    fn form(&mut self, stream: &Stream<'_>) -> Result<(), DrawingError> {
        let dict = stream.dict();
        let contents = unpacked(stream)?;
        let mut data = Vec::with_capacity(contents.len());
        let layer = self.layers.state_of_entry(dict, b"OC");
        if let Some(layer) = &layer {
            data.extend_from_slice(b"/OC<<");
            write_name(&mut data, LAYER_NAME);
            write_hex(&mut data, layer.name.as_bytes());
            write_name(&mut data, LAYER_SHOWN);
            data.extend_from_slice(if layer.is_shown() { b" true>>BDC\n" } else { b" false>>BDC\n" });
        }
        data.extend_from_slice(&contents);
        if layer.is_some() {
            data.extend_from_slice(b"\nEMC");
        }
        self.put_stream(dict, &[b"Filter", b"DecodeParms", b"F", b"DP", b"OC"], &data)
    }

    fn put_stream(&mut self, dict: &Dict<'_>, without: &[&[u8]], data: &[u8]) -> Result<(), DrawingError> {
        let without: Vec<&[u8]> = without.iter().copied().chain([&b"Length"[..]]).collect();
        self.dict(dict, &without, 0)?;
        // The length goes into the dictionary that was just closed.
        self.out.truncate(self.out.len() - 2);
        self.text(&format!("/Length {}>>\nstream\n", data.len()));
        self.out.extend_from_slice(data);
        self.text("\nendstream");
        Ok(())
    }

    /// The copy with its table of objects.
    fn finished(mut self, root: usize) -> Vec<u8> {
        let table = self.out.len();
        let count = self.starts.len() + 1;
        self.text(&format!("xref\n0 {count}\n0000000000 65535 f \n"));
        for at in std::mem::take(&mut self.starts) {
            self.text(&format!("{at:010} 00000 n \n"));
        }
        self.text(&format!("trailer\n<</Size {count}/Root {root} 0 R>>\nstartxref\n{table}\n%%EOF\n"));
        self.out
    }
}
