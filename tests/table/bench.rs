//! A table in a folder of its own.

use std::path::{Path, PathBuf};
use std::process::Command;

use retrue::cloth::{Size, Stock};
use retrue::table::{At, ClothReader, Folder, Table, TableFault, TableSeen, TrialSeen, Wish, begun};
use retrue::units::Unit;
use serde_json::{Value, json};
use tempfile::TempDir;

/// The cloth that the shipped coat is recut for.
pub const CLOTH: &str = "37cm x 11.4m";

/// A folder that a table may lie on.
pub struct Bench(TempDir);

impl Bench {
    /// A folder with the coat in it, and a recipe without steps for it.
    pub fn of_coat() -> Bench {
        Bench::of("coat.svg")
    }

    /// The same with another shipped pattern.
    pub fn of(sheet: &str) -> Bench {
        let bench = Bench(tempfile::tempdir().expect("a folder"));
        let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures").join(sheet);
        std::fs::copy(shipped, bench.path(sheet)).expect("a copy");
        bench.write("recipe.toml", &begun(sheet));
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("a text")
    }

    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).expect("written");
    }

    /// Lays the table.
    pub fn table(&self) -> Table {
        self.try_table().expect("a table")
    }

    /// Lays the table with a cloth.
    pub fn table_with(&self, cloth: &str) -> Table {
        self.laid_with(cloth).expect("a table")
    }

    pub fn try_table(&self) -> Result<Table, TableFault> {
        self.laid_with(CLOTH)
    }

    /// Lays the table with cloth at hand, or none.
    pub fn table_on(&self, stock: Option<Stock>) -> Table {
        self.laid_on(stock).expect("a table")
    }

    fn laid_with(&self, cloth: &str) -> Result<Table, TableFault> {
        self.laid_on(stock(cloth))
    }

    fn laid_on(&self, laid_out: Option<Stock>) -> Result<Table, TableFault> {
        let reader: ClothReader = Box::new(|text| stock(text).ok_or_else(|| "no such cloth".to_owned()));
        let folder = Folder::take(self.0.path())?;
        Table::open(folder, laid_out, reader, Unit::Millimetre)
    }

    /// What the command makes of the recipe.
    pub fn applied(&self) -> String {
        let program = env!("CARGO_BIN_EXE_retrue");
        let out = self.path("applied.svg");
        let mut command = Command::new(program);
        command.arg("--quiet").arg("apply").arg(self.path("recipe.toml")).arg("-o").arg(&out).arg("--force");
        let done = command.output().expect("the program");
        assert!(done.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&done.stderr));
        std::fs::read_to_string(out).expect("a sheet")
    }
}

fn stock(text: &str) -> Option<Stock> {
    text.parse::<Size>().ok()?.stock().ok()
}

/// A step as a wish.
pub fn step(fields: Value) -> Wish {
    serde_json::from_value(json!({ "step": fields })).expect("a wish")
}

/// Allowances as the narrow coat has them at its side seam.
pub fn narrow_allowances() -> Wish {
    step(json!({ "do": "set-allowance", "edges": "back.side, front.side", "allowance": "7mm" }))
}

/// A hand that holds an edge by its middle, and was moved so far to the right.
pub fn hand(table: &Table, edge: &str, across: f64, way: &str, reach: f64) -> Wish {
    let seen = table.seen();
    let mut edges = seen.pieces.iter().flat_map(|piece| &piece.edges);
    let [x, y] = edges.find(|seen| seen.name == edge).expect("an edge").middle;
    drag(&json!({ "edge": edge }), way, ([x, y], [x + across, y]), reach)
}

/// A hand that takes hold of something at one place, and was moved to another.
/// The way between them is straight.
pub fn drag(holds: &Value, way: &str, (from, at): ([f64; 2], [f64; 2]), reach: f64) -> Wish {
    let held = json!({ "holds": holds, "from": from, "at": at, "way": way, "reach": reach });
    serde_json::from_value(json!({ "hand": held })).expect("a wish")
}

/// Keeps a wish as a page does that has seen everything.
pub fn keep(table: &mut Table, wish: &Wish) -> TableSeen {
    table.keep(wish, table.revision()).expect("kept");
    table.seen()
}

/// What would come of a wish.
pub fn tried(table: &Table, wish: &Wish) -> TrialSeen {
    table.laid().tried(wish, At::End)
}
