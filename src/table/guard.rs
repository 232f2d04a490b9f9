//! Who may speak with the table: a page of this machine that was given the key, and nobody else.

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, COOKIE, HOST, LOCATION, ORIGIN, REFERRER_POLICY,
    SET_COOKIE, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderName, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;
use std::fmt::Write;

/// Bytes of randomness of a key.
const KEY_BYTES: usize = 24;

/// What the page may load: its own files, and nothing written into it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
                      base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// What is to be known by who speaks with a table.
#[derive(Clone, PartialEq, Eq)]
pub struct Key(String);

impl Key {
    /// A random key.
    ///
    /// # Errors
    ///
    /// The machine has no source of randomness.
    pub fn random() -> Result<Key, getrandom::Error> {
        let mut bytes = [0_u8; KEY_BYTES];
        getrandom::fill(&mut bytes)?;
        let mut text = String::new();
        for byte in bytes {
            let _ = write!(text, "{byte:02x}");
        }
        Ok(Key(text))
    }

    /// As it stands in the address.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.0
    }

    /// Whether a text is the key; how long that takes does not tell how much of it is right.
    fn is(&self, text: &str) -> bool {
        let differ = self.0.bytes().zip(text.bytes()).fold(0, |differ, (a, b)| differ | (a ^ b));
        self.0.len() == text.len() && differ == 0
    }
}

/// The key and the port that a guard knows.
#[derive(Clone)]
pub(super) struct Guard {
    pub(super) key: Key,
    pub(super) port: u16,
}

/// Lets through who may pass, and says on every answer what the page may do.
pub(super) async fn guarded(State(guard): State<Guard>, request: Request, next: Next) -> Response {
    let mut answer = match guard.refusal(&request) {
        Some(refusal) => refusal,
        None => next.run(request).await,
    };
    let headers = [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (CACHE_CONTROL, "no-store"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ];
    for (name, value) in headers {
        // A file of the folder may do less than the page.
        answer.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
    answer
}

impl Guard {
    /// What is answered in place of what was asked for: a refusal, or the cookie for the key in the address.
    fn refusal(&self, request: &Request) -> Option<Response> {
        let header = |name: HeaderName| request.headers().get(name).and_then(|value| value.to_str().ok());
        let hosts = ["127.0.0.1", "localhost"].map(|host| format!("{host}:{}", self.port));
        if !header(HOST).is_some_and(|host| hosts.iter().any(|known| known == host)) {
            return Some(refused("this table answers at 127.0.0.1 only"));
        }
        let is_own = |origin: &str| {
            origin.strip_prefix("http://").is_some_and(|host| hosts.iter().any(|known| known == host))
        };
        let is_read = [Method::GET, Method::HEAD].contains(request.method());
        let own_origin = match header(ORIGIN) {
            Some(origin) => is_own(origin),
            None => is_read && !request.headers().contains_key(ORIGIN),
        };
        if !own_origin {
            return Some(refused("this table answers its own page only"));
        }
        if request.uri().path() == "/"
            && let Some(key) = request.uri().query().and_then(|query| query.strip_prefix("key="))
        {
            return Some(if self.key.is(key) {
                self.welcome()
            } else {
                refused("the key in this address is wrong")
            });
        }
        let cookie = self.cookie();
        let given = request.headers().get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
        let mut given =
            given.flat_map(|value| value.split(';')).filter_map(|pair| pair.trim().split_once('='));
        if given.any(|(name, value)| name == cookie && self.key.is(value)) {
            return None;
        }
        Some(refused("open the address that retrue table printed"))
    }

    /// The name of the cookie: two tables on one machine do not take each other's.
    fn cookie(&self) -> String {
        format!("retrue-{}", self.port)
    }

    /// Gives the cookie, and leads on to an address without the key.
    fn welcome(&self) -> Response {
        let mut answer = Response::new(Body::empty());
        *answer.status_mut() = StatusCode::SEE_OTHER;
        let cookie = format!("{}={}; Path=/; HttpOnly; SameSite=Strict", self.cookie(), self.key.text());
        answer.headers_mut().insert(LOCATION, HeaderValue::from_static("/"));
        if let Ok(cookie) = HeaderValue::from_str(&cookie) {
            answer.headers_mut().insert(SET_COOKIE, cookie);
        }
        answer
    }
}

fn refused(why: &str) -> Response {
    let mut answer = Response::new(Body::from(format!("{why}\n")));
    *answer.status_mut() = StatusCode::FORBIDDEN;
    answer.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static("text/plain; charset=utf-8"));
    answer
}
