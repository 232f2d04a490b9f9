//! The page: files within the program, each by its own name and no other.

/// A file of the page.
pub(super) struct PageFile {
    /// Its name in the address.
    pub(super) name: &'static str,
    /// What it is.
    pub(super) sort: &'static str,
    /// What stands in it.
    pub(super) text: &'static str,
}

const SCRIPT: &str = "text/javascript; charset=utf-8";

/// All of them.
pub(super) const FILES: [PageFile; 20] = [
    PageFile { name: "/", sort: "text/html; charset=utf-8", text: include_str!("page/table.html") },
    PageFile { name: "/icon.svg", sort: "image/svg+xml", text: include_str!("page/icon.svg") },
    PageFile { name: "/table.css", sort: "text/css; charset=utf-8", text: include_str!("page/table.css") },
    PageFile { name: "/table.js", sort: SCRIPT, text: include_str!("page/table.js") },
    PageFile { name: "/ground.js", sort: SCRIPT, text: include_str!("page/ground.js") },
    PageFile { name: "/hand.js", sort: SCRIPT, text: include_str!("page/hand.js") },
    PageFile { name: "/touch.js", sort: SCRIPT, text: include_str!("page/touch.js") },
    PageFile { name: "/near.js", sort: SCRIPT, text: include_str!("page/near.js") },
    PageFile { name: "/nearer.js", sort: SCRIPT, text: include_str!("page/nearer.js") },
    PageFile { name: "/note.js", sort: SCRIPT, text: include_str!("page/note.js") },
    PageFile { name: "/form.js", sort: SCRIPT, text: include_str!("page/form.js") },
    PageFile { name: "/sentences.js", sort: SCRIPT, text: include_str!("page/sentences.js") },
    PageFile { name: "/choices.js", sort: SCRIPT, text: include_str!("page/choices.js") },
    PageFile { name: "/lay.js", sort: SCRIPT, text: include_str!("page/lay.js") },
    PageFile { name: "/plan.js", sort: SCRIPT, text: include_str!("page/plan.js") },
    PageFile { name: "/cloth.js", sort: SCRIPT, text: include_str!("page/cloth.js") },
    PageFile { name: "/photograph.js", sort: SCRIPT, text: include_str!("page/photograph.js") },
    PageFile { name: "/save.js", sort: SCRIPT, text: include_str!("page/save.js") },
    PageFile { name: "/words.js", sort: SCRIPT, text: include_str!("page/words.js") },
    PageFile { name: "/ask.js", sort: SCRIPT, text: include_str!("page/ask.js") },
];

/// The page on which a drawing is brought in, with what it has beside the table's own files.
pub(super) const BRING: [PageFile; 7] = [
    PageFile {
        name: "/bring",
        sort: "text/html; charset=utf-8",
        text: include_str!("page/bring/bring.html"),
    },
    PageFile {
        name: "/bring/bring.css",
        sort: "text/css; charset=utf-8",
        text: include_str!("page/bring/bring.css"),
    },
    PageFile { name: "/bring/bring.js", sort: SCRIPT, text: include_str!("page/bring/bring.js") },
    PageFile { name: "/bring/missing.js", sort: SCRIPT, text: include_str!("page/bring/missing.js") },
    PageFile { name: "/bring/press.js", sort: SCRIPT, text: include_str!("page/bring/press.js") },
    PageFile { name: "/bring/thing.js", sort: SCRIPT, text: include_str!("page/bring/thing.js") },
    PageFile { name: "/bring/words.js", sort: SCRIPT, text: include_str!("page/bring/words.js") },
];
