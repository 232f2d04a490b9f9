//! What lines and outlines are, in the text of a map under change: darts, notches, grainlines, or nothing.

use toml_edit::{Array, ArrayOfTables, Table, Value};

use crate::adopt::map::text;
use crate::adopt::map_tables::{add_to, push, set, strike, take_out};
use crate::adopt::map_text::{LOOK_AGAIN, MapText, refused};
use crate::adopt::map_thing::{LineSort, MapThing, SaidAt};
use crate::toml_file::TextFault;

impl MapText<'_> {
    pub(super) fn ignore(&mut self, thing: &MapThing) -> Result<(), TextFault> {
        match thing {
            MapThing::Outline(letter) => {
                if let Some(piece) = self.map.piece_of(letter) {
                    let name = format!("{}.", text(&self.map.pieces[piece].name));
                    for seam in (0..self.map.seams.len()).rev() {
                        let sides = [&self.map.seams[seam].first, &self.map.seams[seam].second];
                        let mut names = sides.into_iter().flat_map(|side| text(side).split_whitespace());
                        if names.any(|edge| edge.starts_with(&name)) {
                            self.remove("seam", seam);
                        }
                    }
                    self.remove("piece", piece);
                }
                if !self.map.is_ignored(letter) {
                    add_to(self.document.as_table_mut(), LineSort::Nothing.word(), letter);
                }
                Ok(())
            }
            MapThing::Line(letter) => self.mark(LineSort::Nothing, letter),
            _ => Err(refused("only an outline or a line can mean nothing", LOOK_AGAIN)),
        }
    }

    /// Makes a line what it is, and nothing else any more.
    pub(super) fn mark(&mut self, sort: LineSort, letter: &str) -> Result<(), TextFault> {
        let piece = self.piece_around(letter)?;
        self.forget_line(piece, letter);
        strike(self.document.as_table_mut(), LineSort::Nothing.word(), letter);
        let name = match sort {
            LineSort::Grainline | LineSort::Mark | LineSort::Nothing | LineSort::Notch => None,
            sort => Some(self.free_name(piece, sort)),
        };
        let Some(table) = self.table(SaidAt::Piece(piece)) else { return Ok(()) };
        match sort {
            LineSort::Grainline => set(table, sort.word(), Value::from(letter)),
            LineSort::Mark | LineSort::Nothing => add_to(table, sort.word(), letter),
            sort => {
                let mut made = Table::new();
                if let Some(name) = name {
                    made.insert("name", name.into());
                }
                made.insert("drawn", letter.into());
                push(table, sort.word(), made, "");
            }
        }
        Ok(())
    }

    /// The piece that a line lies on.
    fn piece_around(&self, letter: &str) -> Result<usize, TextFault> {
        if let Some(SaidAt::Mark(piece, ..)) =
            self.map.said_at(self.found, &MapThing::Line(letter.to_owned()))
        {
            return Ok(piece);
        }
        let line = self.found.line(letter).map(|line| line.inside);
        let inside = line.or_else(|| self.found.outline(letter).map(|outline| outline.inside));
        let inside = inside.ok_or_else(|| refused(format!("there is no line `{letter}`"), LOOK_AGAIN))?;
        // Where both lines of a piece are drawn, what lies between them is of the one that is named.
        let mut outlines = Vec::new();
        let mut around = inside;
        while let Some(at) = around {
            outlines.push(at);
            around = self.found.outlines[at].inside;
        }
        let within = (0..self.found.outlines.len()).filter(|at| {
            self.found.outlines[*at].inside.is_some() && self.found.outlines[*at].inside == inside
        });
        let piece = outlines
            .into_iter()
            .chain(within)
            .find_map(|at| self.map.piece_of(self.found.outlines[at].letter.as_str()));
        piece.ok_or_else(|| {
            refused(format!("line {letter} lies on no piece"), "say first of which outline a piece is made")
        })
    }

    /// Takes a line out of whatever it was.
    fn forget_line(&mut self, piece: usize, letter: &str) {
        let Some(SaidAt::Mark(_, sort, number)) =
            self.map.said_at(self.found, &MapThing::Line(letter.to_owned()))
        else {
            return;
        };
        let Some(table) = self.table(SaidAt::Piece(piece)) else { return };
        match (sort, number) {
            (LineSort::Grainline, _) => take_out(table, sort.word()),
            (LineSort::Mark | LineSort::Nothing, _) => {
                strike(table, sort.word(), letter);
            }
            (_, Some(number)) => {
                let written = self.said(SaidAt::Mark(piece, sort, Some(number)), "drawn").unwrap_or_default();
                let rest: Vec<&str> = written.split_whitespace().filter(|word| *word != letter).collect();
                if rest.is_empty() {
                    self.remove_of_piece(piece, sort.word(), number);
                } else {
                    self.set(SaidAt::Mark(piece, sort, Some(number)), "drawn", Value::from(rest.join(" ")));
                }
            }
            (_, None) => {}
        }
    }

    /// A name that no mark of the sort has on the piece, in the text as it is by now.
    fn free_name(&mut self, piece: usize, sort: LineSort) -> String {
        let count =
            self.table(SaidAt::Piece(piece)).and_then(|table| table.get(sort.word())).map_or(0, |item| {
                item.as_array_of_tables()
                    .map_or_else(|| item.as_array().map_or(0, Array::len), ArrayOfTables::len)
            });
        let mut taken = self.map.pieces[piece].mark_names(sort);
        for number in 0..count {
            taken.extend(self.said(SaidAt::Mark(piece, sort, Some(number)), "name"));
        }
        let names = (1..).map(|number: usize| format!("{}-{number}", sort.word()));
        names.into_iter().find(|name| !taken.contains(name)).unwrap_or_default()
    }
}
