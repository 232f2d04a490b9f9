//! Choosing a size, and another one later.

use std::sync::Arc;

use crate::adopt::{Asked, Found, SizeChoice, offered_sizes, template};
use crate::table::bring::reading::{Sizes, found, wrong};
use crate::table::bring::state::Bring;
use crate::table::fault::TableFault;

impl Bring {
    /// Whether a size is being chosen, and of what.
    pub(super) fn choosing(&self) -> Option<&Arc<Found>> {
        self.choosing.as_ref()
    }

    /// Has another size chosen; the map stays as it is until then.
    ///
    /// # Errors
    ///
    /// The drawing cannot be read without a size, or has only one.
    pub fn choose_again(&mut self, seen: u64) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let asked = self.asked().map_err(|error| wrong(&error))?;
        let all = found(&self.drawings, &Asked { size: None, ..asked }, &self.read_file)?;
        if offered_sizes(&all).is_empty() {
            return Err(TableFault::refused("the drawing has only one size", "go on with it"));
        }
        self.choosing = Some(Arc::new(all));
        self.revision += 1;
        self.drawn += 1;
        Ok(())
    }

    /// Leaves the size as it is.
    ///
    /// # Errors
    ///
    /// The map on disk cannot be gone on with.
    pub fn leave_size(&mut self, seen: u64) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        self.choosing = None;
        self.revision += 1;
        self.drawn += 1;
        Ok(())
    }

    /// Takes a size; without one all lines are of one. The map is begun anew for it.
    ///
    /// # Errors
    ///
    /// Nothing is of that size; it cannot be kept.
    pub fn take_size(&mut self, size: Option<&SizeChoice>, seen: u64) -> Result<(), TableFault> {
        self.refuse_outside(seen)?;
        let asked = self.asked().map_err(|error| wrong(&error))?;
        let asked = Asked { size: size.cloned(), ..asked };
        let read = found(&self.drawings, &asked, &self.read_file)?;
        (self.sizes, self.choosing) = (Sizes::One, None);
        let text = template(&read, &asked);
        self.readings += 1;
        self.take_up(Ok(read), asked);
        if self.kept.as_ref().is_some_and(|kept| kept.text != text) { self.begin_map(&text) } else { Ok(()) }
    }
}
