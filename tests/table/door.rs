//! Who may speak with the table, asked over HTTP.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, Response, StatusCode, header};
use retrue::table::{Key, Table, router};
use serde_json::{Value, json};
use tower::ServiceExt;

use crate::bench::{Bench, CLOTH};

const PORT: u16 = 4711;

/// A table that is served, and its folder.
pub struct Door {
    router: Router,
    key: String,
    cloth: String,
    pub bench: Bench,
}

impl Door {
    fn open() -> Door {
        Door::of(Bench::of_coat())
    }

    /// Serves the table of a folder.
    pub fn of(bench: Bench) -> Door {
        Door::with(bench, CLOTH)
    }

    /// Serves the table of a folder with a cloth.
    pub fn with(bench: Bench, cloth: &str) -> Door {
        let table = bench.table_with(cloth);
        Door { cloth: cloth.to_owned(), ..Door::of_table(bench, table) }
    }

    /// Serves a table.
    pub fn of_table(bench: Bench, table: Table) -> Door {
        let key = Key::random().expect("randomness");
        let text = key.text().to_owned();
        let router = router(table, key, PORT);
        Door { router, key: text, cloth: CLOTH.to_owned(), bench }
    }

    /// The same table, ended and served again.
    pub fn again(self) -> Door {
        let Door { router, bench, cloth, .. } = self;
        drop(router);
        Door::with(bench, &cloth)
    }

    /// The table ended; its folder.
    pub fn ended(self) -> Bench {
        self.bench
    }

    fn ask(&self, request: Request<Body>) -> (Response<()>, Vec<u8>) {
        let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
        runtime.block_on(async {
            let answer = self.router.clone().oneshot(request).await.expect("an answer");
            let (parts, body) = answer.into_parts();
            let bytes = to_bytes(body, usize::MAX).await.expect("a body");
            (Response::from_parts(parts, ()), bytes.to_vec())
        })
    }

    /// What is answered to a wish.
    pub fn told(&self, path: &str, wish: &Value) -> Value {
        let (_, body) = self.ask(self.wish(path, wish));
        serde_json::from_slice(&body).expect("an answer in JSON")
    }

    /// What is answered to bytes that the page sends.
    pub fn sent(&self, path: &str, bytes: Vec<u8>) -> (StatusCode, Vec<u8>) {
        let (answer, body) = self.ask(self.post(path, bytes));
        (answer.status(), body)
    }

    /// What there is to be asked for.
    pub fn got(&self, path: &str) -> Value {
        let (_, body) = self.ask(empty(self.own_page(path)));
        serde_json::from_slice(&body).expect("an answer in JSON")
    }

    /// The bytes of what there is to be asked for.
    pub fn got_bytes(&self, path: &str) -> Vec<u8> {
        self.ask(empty(self.own_page(path))).1
    }

    /// A file of the folder as it is served, and what it may do.
    pub fn saved(&self, name: &str) -> (String, Vec<u8>) {
        let (answer, body) = self.ask(empty(self.own_page(&format!("/saved/{name}"))));
        let policy = answer.headers()[header::CONTENT_SECURITY_POLICY].to_str().expect("a text").to_owned();
        (policy, body)
    }

    /// How a file is answered that may not be there.
    pub fn saved_status(&self, name: &str) -> StatusCode {
        self.status(empty(self.own_page(&format!("/saved/{name}"))))
    }

    /// A file of the folder.
    pub fn file(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.bench.path(name)).expect("a file")
    }

    fn status(&self, request: Request<Body>) -> StatusCode {
        let (answer, _) = self.ask(request);
        assert!(answer.headers().contains_key(header::CONTENT_SECURITY_POLICY), "on every answer");
        answer.status()
    }

    fn own_cookie(&self) -> String {
        format!("retrue-{PORT}={}", self.key)
    }

    fn own_page(&self, path: &str) -> axum::http::request::Builder {
        let host = format!("127.0.0.1:{PORT}");
        Request::builder().uri(path).header(header::HOST, host).header(header::COOKIE, self.own_cookie())
    }

    fn wish(&self, path: &str, wish: &Value) -> Request<Body> {
        self.post(path, wish.to_string())
    }

    fn post(&self, path: &str, body: impl Into<Body>) -> Request<Body> {
        let from =
            self.own_page(path).method("POST").header(header::ORIGIN, format!("http://127.0.0.1:{PORT}"));
        from.body(body.into()).expect("a request")
    }
}

fn empty(builder: axum::http::request::Builder) -> Request<Body> {
    builder.body(Body::empty()).expect("a request")
}

#[test]
fn the_key_in_the_address_gives_a_cookie_that_only_this_site_sends() {
    let door = Door::open();
    let asked =
        Request::builder().uri(format!("/?key={}", door.key)).header("host", format!("127.0.0.1:{PORT}"));
    let (answer, _) = door.ask(empty(asked));
    assert_eq!(
        (answer.status(), &answer.headers()["location"]),
        (StatusCode::SEE_OTHER, &"/".parse().unwrap())
    );
    let cookie = answer.headers()["set-cookie"].to_str().unwrap();
    assert!(cookie.starts_with(&door.own_cookie()), "{cookie}");
    assert!(cookie.contains("SameSite=Strict") && cookie.contains("HttpOnly"), "{cookie}");
    let (page, text) = door.ask(empty(door.own_page("/")));
    assert_eq!(page.status(), StatusCode::OK);
    let text = String::from_utf8(text).unwrap();
    assert!(text.contains("<script type=\"module\" src=") && !text.contains(" style="), "nothing inline");
    let policy = page.headers()[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
    assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
}

#[test]
fn who_has_not_the_key_is_refused_everywhere() {
    let door = Door::open();
    let host = format!("127.0.0.1:{PORT}");
    let wrong = door.key.replace(|c: char| c.is_ascii_hexdigit(), "0");
    let cookies = [
        String::new(),
        format!("retrue-{PORT}={wrong}"),
        format!("retrue-{PORT}="),
        format!("retrue-{}={}", PORT + 1, door.key),
    ];
    for cookie in &cookies {
        for path in
            ["/", "/seen", "/table.js", "/revision", "/nothing", "/?key=", format!("/?key={wrong}").as_str()]
        {
            let asked = Request::builder().uri(path).header("host", &host).header("cookie", cookie);
            assert_eq!(door.status(empty(asked)), StatusCode::FORBIDDEN, "{path} with {cookie}");
        }
    }
}

#[test]
fn another_host_or_origin_is_refused_even_with_the_key() {
    let door = Door::open();
    for host in ["example.com", "127.0.0.1", "127.0.0.1:1", "127.0.0.1:4711.example.com", ""] {
        let asked = Request::builder().uri("/seen").header("host", host).header("cookie", door.own_cookie());
        assert_eq!(door.status(empty(asked)), StatusCode::FORBIDDEN, "{host}");
        let asked = Request::builder().uri(format!("/?key={}", door.key)).header("host", host);
        assert_eq!(door.status(empty(asked)), StatusCode::FORBIDDEN, "{host}");
    }
    for origin in ["http://example.com", "null", "https://127.0.0.1:4711", "http://127.0.0.1:4712"] {
        for method in ["GET", "POST"] {
            let asked = door.own_page("/undo").method(method).header("origin", origin);
            assert_eq!(door.status(empty(asked)), StatusCode::FORBIDDEN, "{method} from {origin}");
        }
    }
    let asked = door.own_page("/undo").method("POST");
    assert_eq!(door.status(empty(asked)), StatusCode::FORBIDDEN, "a change says where it comes from");
}

#[test]
fn a_wish_that_is_too_large_or_no_wish_is_refused() {
    let door = Door::open();
    let long = json!({ "page": 1, "number": 1, "wish": { "step": { "do": "x".repeat(65 << 10) } } });
    assert_eq!(door.status(door.wish("/try", &long)), StatusCode::PAYLOAD_TOO_LARGE);
    for wish in [json!({}), json!([]), json!({ "revision": 1 }), json!({ "revision": -1, "wish": 1 })] {
        assert_eq!(door.status(door.wish("/keep", &wish)), StatusCode::BAD_REQUEST, "{wish}");
    }
}

#[test]
fn no_path_and_no_field_names_a_file() {
    let door = Door::open();
    let paths = [
        "/recipe.toml",
        "/../recipe.toml",
        "/pattern.svg",
        "/%2e%2e/recipe.toml",
        "/page/table.js",
        "//etc/passwd",
    ];
    for path in paths {
        assert_eq!(door.status(empty(door.own_page(path))), StatusCode::NOT_FOUND, "{path}");
    }
    let cloth = json!({ "do": "move-seam", "seam": "back.side", "from": "back", "fit-cloth": "/etc/passwd" });
    let (answer, body) =
        door.ask(door.wish("/try", &json!({ "page": 1, "number": 1, "wish": { "step": cloth } })));
    assert_eq!(answer.status(), StatusCode::OK);
    let told: Value = serde_json::from_slice(&body).unwrap();
    assert!(told["refused"]["what"].as_str().unwrap_or_default().contains("no cloth"), "{told}");
}

/// Of the trials of one page only the newest is answered; another page is not in its way.
#[test]
fn an_older_trial_gives_way_to_a_newer_one() {
    let door = Door::open();
    let trial = |page, number| {
        let step = json!({ "do": "unfold", "piece": "back" });
        door.wish("/try", &json!({ "page": page, "number": number, "wish": { "step": step } }))
    };
    assert_eq!(door.status(trial(1, 5)), StatusCode::OK);
    assert_eq!(door.status(trial(1, 4)), StatusCode::NO_CONTENT);
    assert_eq!(door.status(trial(2, 1)), StatusCode::OK);
}

#[test]
fn what_is_kept_is_seen_by_every_page() {
    let door = Door::open();
    let step = json!({ "do": "open-centre", "piece": "back" });
    let (_, body) = door.ask(door.wish("/keep", &json!({ "revision": 1, "wish": { "step": step } })));
    let kept: Value = serde_json::from_slice(&body).unwrap();
    assert_eq!((kept["revision"].as_u64(), kept["steps"].as_array().map(Vec::len)), (Some(2), Some(1)));
    let (_, body) = door.ask(empty(door.own_page("/revision")));
    assert_eq!(serde_json::from_slice::<Value>(&body).unwrap()["revision"], 2);
    let (_, body) = door.ask(door.wish("/keep", &json!({ "revision": 1, "wish": { "step": step } })));
    let refused: Value = serde_json::from_slice(&body).unwrap();
    assert!(refused["refused"]["what"].as_str().unwrap_or_default().contains("meanwhile"), "{refused}");
}
