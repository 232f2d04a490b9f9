//! A drawing that is kept in several files: one file of all their pages.

use super::drawn::{DrawnFile, DrawnPage, LayerId, Layers};

impl DrawnFile {
    /// All pages of several files, in their order; each is called by its file's name as well. None of no file.
    #[must_use]
    pub fn of_several(files: Vec<(String, DrawnFile)>) -> Option<DrawnFile> {
        let mut files = files.into_iter();
        let (name, first) = files.next()?;
        if files.len() == 0 {
            return Some(first);
        }
        let mut all = DrawnFile {
            pages: Vec::new(),
            layers: Layers::default(),
            unit: first.unit.clone(),
            notes: Vec::new(),
        };
        all.add(&name, first);
        files.for_each(|(name, file)| all.add(&name, file));
        Some(all)
    }

    fn add(&mut self, name: &str, file: DrawnFile) {
        let mut now: Vec<LayerId> = Vec::new();
        for (_, layer) in file.layers.iter() {
            let around = layer.around.map(|around| now[around.index()]);
            now.push(self.layers.id(&layer.name, around, layer.shown));
        }
        for page in file.pages {
            let label = format!("{name} page {}", page.name());
            let mut page = DrawnPage { number: self.pages.len() + 1, label: Some(label), ..page };
            for thing in &mut page.things {
                thing.layer = thing.layer.map(|layer| now[layer.index()]);
            }
            self.pages.push(page);
        }
        for note in file.notes {
            if !self.notes.contains(&note) {
                self.notes.push(note);
            }
        }
    }
}
