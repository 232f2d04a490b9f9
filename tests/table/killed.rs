//! The program killed while it keeps what a page wishes: nothing that was kept is lost.
//!
//! `RETRUE_KILLS=100 cargo test --test table killed` kills it so often; `RETRUE_SEED` begins with other moments.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStdout, Command, Stdio};

use serde_json::{Value, json};

use crate::bench::Bench;

/// How often it is killed where nothing is said.
const KILLS: u64 = 6;

/// When the program is killed, after a wish was sent.
#[derive(Clone, Copy, Debug)]
enum Moment {
    /// At once.
    Sent,
    /// Once something was written: how many of the three files.
    Written(usize),
    /// Once it has answered.
    Answered,
}

/// Numbers that look random, the same for one seed: xorshift, after Marsaglia (2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % end
    }

    fn moment(&mut self) -> Moment {
        match self.below(5) {
            0 => Moment::Sent,
            4 => Moment::Answered,
            files => Moment::Written(files as usize),
        }
    }
}

/// The program with a table in a folder, and its page.
struct Program {
    child: Child,
    _told: BufReader<ChildStdout>,
    host: String,
    cookie: String,
}

impl Program {
    fn start(bench: &Bench) -> Program {
        let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
        command.args(["table", "--no-open", "--port", "0", "-o"]).arg(bench.path(""));
        let mut child =
            command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("the program starts");
        let mut told = BufReader::new(child.stdout.take().expect("its output"));
        let mut address = String::new();
        told.read_line(&mut address).expect("an address");
        let (host, key) = address
            .trim()
            .strip_prefix("http://")
            .and_then(|rest| rest.split_once("/?key="))
            .expect("an address");
        let port = host.rsplit(':').next().unwrap_or_default();
        let cookie = format!("retrue-{port}={key}");
        Program { child, host: host.to_owned(), cookie, _told: told }
    }

    fn send(&self, method: &str, path: &str, body: &str) -> TcpStream {
        let mut stream = TcpStream::connect(&self.host).expect("it answers");
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nCookie: {1}\r\nContent-Length: {2}\r\nConnection: close\r\n\r\n{body}",
            self.host,
            self.cookie,
            body.len()
        );
        stream.write_all(request.as_bytes()).expect("sent");
        stream
    }

    fn answer(mut stream: TcpStream) -> Option<Value> {
        let mut answer = String::new();
        stream.read_to_string(&mut answer).ok()?;
        serde_json::from_str(answer.split_once("\r\n\r\n")?.1).ok()
    }

    fn seen(&self) -> Value {
        Program::answer(self.send("GET", "/seen", "")).expect("what lies on it")
    }

    /// Sends a wish, and kills the program at a moment. Whether it had answered.
    fn wish_and_die(mut self, bench: &Bench, (path, body): (&str, &str), moment: Moment, spins: u64) -> bool {
        let files = || {
            let changes = std::fs::read_dir(bench.path(".retrue/undo")).map_or(0, Iterator::count);
            (changes, bench.text("recipe.toml"), bench.text("pattern.svg"))
        };
        let before = files();
        let stream = self.send("POST", path, body);
        let written = || {
            let now = files();
            usize::from(now.0 != before.0) + usize::from(now.1 != before.1) + usize::from(now.2 != before.2)
        };
        let has_answered = match moment {
            Moment::Sent => false,
            Moment::Written(files) => {
                // It takes a while to be written; where less is written than is waited for, the answer comes.
                stream.set_nonblocking(true).expect("a socket");
                while written() < files && stream.peek(&mut [0]).is_err() {
                    std::thread::yield_now();
                }
                false
            }
            Moment::Answered => Program::answer(stream).is_some_and(|answer| answer.get("refused").is_none()),
        };
        for _ in 0..spins {
            std::thread::yield_now();
        }
        self.child.kill().expect("killed");
        self.child.wait().expect("ended");
        has_answered
    }
}

fn environment(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

/// After each restart the table is where it was after the last step that was told to be kept, or the one under way; the sheet is
/// that of the recipe; and it goes on from there.
#[test]
fn killed_at_any_moment_the_table_is_where_it_was_after_the_last_kept_step() {
    let bench = Bench::of_coat();
    let mut dice = Dice(environment("RETRUE_SEED").unwrap_or(0x2545_f491_4f6c_dd1d).max(1));
    let (mut before, mut landed) = (bench.text("recipe.toml"), 0);
    for kill in 0..environment("RETRUE_KILLS").unwrap_or(KILLS) {
        let program = Program::start(&bench);
        let seen = program.seen();
        assert_eq!((&seen["outside"], &seen["news"]), (&Value::Null, &Value::Null), "kill {kill}");
        let revision = &seen["revision"];
        let undoes = seen["can-undo"] == true && dice.below(3) == 0;
        let width = format!("{}mm", 5 + dice.below(20));
        let (path, body) = match undoes {
            true => ("/undo", json!({ "revision": revision })),
            false => {
                let set = json!({ "do": "set-allowance", "edges": "back.side", "allowance": width });
                ("/keep", json!({ "revision": revision, "wish": { "step": set } }))
            }
        };
        let moment = dice.moment();
        let spins = dice.below(400);
        let told = program.wish_and_die(&bench, (path, &body.to_string()), moment, spins);
        let after = bench.text("recipe.toml");
        let steps = |text: &str| text.matches("[[step]]").count();
        if after == before {
            assert!(!told, "kill {kill}, {moment:?}: what was told to be kept is not there");
        } else {
            let by = if undoes { -1 } else { 1 };
            assert_eq!(steps(&after) as i64 - steps(&before) as i64, by, "kill {kill}, {moment:?}");
            landed += 1;
        }
        let again = bench.table();
        assert_eq!(again.laid().recipe(), after, "kill {kill}, {moment:?}");
        assert_eq!(again.laid().sheet(), Some(bench.text("pattern.svg").as_str()), "kill {kill}, {moment:?}");
        assert_eq!(again.seen().outside, None, "kill {kill}, {moment:?}");
        assert_eq!(again.seen().can_undo, steps(&after) > 0, "kill {kill}, {moment:?}");
        before = after;
    }
    assert!(landed > 1, "{landed} wishes were kept before the program was killed");
    assert_eq!(bench.text("pattern.svg"), bench.applied());
}
