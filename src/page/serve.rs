//! Routes, and the connections behind them.

use super::ask::{Ask, State};
use super::change::MOST;
use super::files::{FILES, PAGE};
use super::work::{Refusal, Wanted, Work};
use crate::CAUTION;
use crate::model::{CASES, CONSTRUCTS};
use axum::body::{Body, Bytes};
use axum::extract::{Path, Request, State as Shared};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use serde::de::DeserializeOwned;
use serde_json::json;
use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

/// Most bytes of a question: three constructs and a case, and the same of before, many times over.
const MOST_BYTES: usize = 1 << 20;
/// How long a question may take to come, and how long it may wait for its answer.
const TO_COME: Duration = Duration::from_secs(10);
const TO_WAIT: Duration = Duration::from_secs(60);
/// Most connections at once.
const CONNECTIONS: usize = 512;
/// Pages whose last question is remembered, and how long the name may be that a page gives itself.
const PAGES: usize = 256;
const NAME: usize = 64;

/// What the page may load and do: nothing but what comes from here.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// What all connections share.
struct Served {
    port: u16,
    begin: State,
    work: Work,
    /// The newest question of each page; the page that asked last stands last.
    newest: Mutex<Vec<(String, u64)>>,
    /// As many are worked on at once as there are cores; the others wait in line.
    cores: Arc<Semaphore>,
}

/// Serves the page, which begins with a state, until the program ends; `ready` is given its address once it can be opened.
///
/// # Errors
/// A port that cannot be had.
pub(crate) fn serve(begin: State, port: u16, ready: impl FnOnce(&str)) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await?;
        let address: SocketAddr = listener.local_addr()?;
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let served = Arc::new(Served {
            port: address.port(),
            begin,
            work: Work::default(),
            newest: Mutex::default(),
            cores: Arc::new(Semaphore::new(cores)),
        });
        ready(&format!("http://{address}/"));
        accept(listener, router(served)).await
    })
}

async fn accept(listener: TcpListener, router: Router) -> io::Result<()> {
    let connections = Arc::new(Semaphore::new(CONNECTIONS));
    loop {
        let Ok(permit) = Arc::clone(&connections).acquire_owned().await else {
            return Ok(());
        };
        let Ok((stream, _)) = listener.accept().await else {
            // Out of file handles, or gone before it was taken: the next may do.
            tokio::time::sleep(Duration::from_millis(20)).await;
            continue;
        };
        let _ = stream.set_nodelay(true);
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let mut protocol = http1::Builder::new();
            protocol.timer(TokioTimer::new()).header_read_timeout(TO_COME);
            // A browser that breaks off is no failure of the page.
            let _ = protocol.serve_connection(TokioIo::new(stream), service).await;
            drop(permit);
        });
    }
}

fn router(served: Arc<Served>) -> Router {
    let mut router = Router::new();
    for (path, kind, bytes) in FILES {
        let answer = move || async move { ([(header::CONTENT_TYPE, *kind)], *bytes) };
        router = router.route(path, get(answer));
    }
    let page = PAGE.replace("{{caution}}", CAUTION);
    router = router.route("/", get(|| async move { ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], page) }));
    router
        .route("/start", get(start))
        .route("/built-in/{kind}/{name}", get(built_in))
        .route("/answer", post(answer))
        .route("/orders", post(orders))
        .route("/figure", post(figure))
        .fallback(|| async { said(StatusCode::NOT_FOUND, "there is no such page") })
        .layer(middleware::from_fn_with_state(Arc::clone(&served), guard))
        .with_state(served)
}

/// A mistake in words.
fn said(status: StatusCode, words: &str) -> Response {
    (status, Json(json!({ "error": words }))).into_response()
}

/// Lets in what names this page as its host and, where it says where it comes from, comes from it: another page that is
/// open in the same browser cannot use this one. What goes out says what the page may do.
async fn guard(Shared(served): Shared<Arc<Served>>, request: Request, next: Next) -> Response {
    let mut response = if is_own(served.port, request.headers()) {
        next.run(request).await
    } else {
        said(StatusCode::FORBIDDEN, "this page answers only its own address")
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

fn is_own(port: u16, headers: &HeaderMap) -> bool {
    // A browser leaves the usual port out.
    let port = if port == 80 { String::new() } else { format!(":{port}") };
    let hosts = ["127.0.0.1", "localhost"].map(|host| format!("{host}{port}"));
    let of = |name: HeaderName| headers.get(name).map(|v| v.to_str().unwrap_or(""));
    let is_here = of(header::HOST).is_some_and(|host| hosts.iter().any(|own| own == host));
    let comes_from = |origin: &str| hosts.iter().any(|own| origin.strip_prefix("http://") == Some(own));
    is_here && of(header::ORIGIN).is_none_or(comes_from)
}

async fn start(Shared(served): Shared<Arc<Served>>) -> Response {
    let named = |list: &[(&str, &str)]| list.iter().map(|(name, _)| (*name).to_owned()).collect::<Vec<_>>();
    Json(json!({
        "state": served.begin,
        "most": MOST,
        "built_in": { "cases": named(CASES), "constructs": named(CONSTRUCTS) },
    }))
    .into_response()
}

async fn built_in(Path((kind, name)): Path<(String, String)>) -> Response {
    let list = match kind.as_str() {
        "case" => CASES,
        "construct" => CONSTRUCTS,
        _ => &[],
    };
    match list.iter().find(|built| built.0 == name).map(|built| built.1) {
        Some(text) => ([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], text).into_response(),
        None => said(StatusCode::NOT_FOUND, "there is no such built-in file"),
    }
}

/// The body of a question, whole, in time, and of the right form.
async fn read<T: DeserializeOwned>(headers: &HeaderMap, body: Body) -> Result<T, Response> {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok()).unwrap_or("");
    if !kind.starts_with("application/json") {
        return Err(said(StatusCode::UNSUPPORTED_MEDIA_TYPE, "a question is application/json"));
    }
    let bytes: Bytes = match tokio::time::timeout(TO_COME, axum::body::to_bytes(body, MOST_BYTES)).await {
        Err(_) => return Err(said(StatusCode::REQUEST_TIMEOUT, "the question did not come in time")),
        Ok(Err(_)) => return Err(said(StatusCode::PAYLOAD_TOO_LARGE, "the question broke off, or has more than 1 MB")),
        Ok(Ok(bytes)) => bytes,
    };
    serde_json::from_slice(&bytes)
        .map_err(|e| said(StatusCode::BAD_REQUEST, &format!("the question cannot be read: {e}")))
}

/// Ends the work of a question whose asker is gone.
struct Gone(Arc<std::sync::atomic::AtomicBool>);

impl Drop for Gone {
    fn drop(&mut self) {
        self.0.store(true, std::sync::atomic::Ordering::Relaxed);
    }
}

/// Works beside the connections, when it is its turn, as long as whoever asked is there and has not asked anew.
async fn worked<T: Send + 'static>(
    served: Arc<Served>,
    asked: (String, u64),
    work: impl FnOnce(&Work, &(dyn Fn() -> bool + Sync)) -> Result<T, Refusal> + Send + 'static,
) -> Result<T, Response> {
    served.is_newest(&asked);
    let gone = Gone(Arc::default());
    let flag = Arc::clone(&gone.0);
    let turn = async {
        let permit = Arc::clone(&served.cores).acquire_owned().await;
        let shared = Arc::clone(&served);
        tokio::task::spawn_blocking(move || {
            // Kept until the work is done, also where nobody waits for it any more.
            let _permit = permit;
            let ends = || flag.load(std::sync::atomic::Ordering::Relaxed) || !shared.is_newest(&asked);
            if ends() { Err(Refusal::Superseded) } else { work(&shared.work, &ends) }
        })
        .await
    };
    match tokio::time::timeout(TO_WAIT, turn).await {
        Err(_) => Err(said(StatusCode::SERVICE_UNAVAILABLE, "there was no answer in time")),
        Ok(Err(_)) => {
            Err(said(StatusCode::INTERNAL_SERVER_ERROR, "the program could not answer this; undo the last change"))
        }
        Ok(Ok(Ok(found))) => Ok(found),
        // No mistake of anybody: a browser would print one to its console.
        Ok(Ok(Err(Refusal::Superseded))) => Err(Json(json!({ "superseded": true })).into_response()),
        Ok(Ok(Err(Refusal::Mistakes(problems)))) => Err(Json(json!({ "problems": problems })).into_response()),
    }
}

impl Served {
    /// Whether no newer question of the page has come; notes this one.
    fn is_newest(&self, (page, number): &(String, u64)) -> bool {
        if page.is_empty() {
            return true;
        }
        let mut newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        let last = newest.iter().position(|known| known.0 == *page).map(|at| newest.remove(at).1);
        if newest.len() == PAGES {
            newest.remove(0);
        }
        let last = last.map_or(*number, |last| last.max(*number));
        newest.push((page.clone(), last));
        last == *number
    }
}

async fn answer(Shared(served): Shared<Arc<Served>>, headers: HeaderMap, body: Body) -> Result<Response, Response> {
    let ask: Ask = read(&headers, body).await?;
    if ask.page.len() > NAME {
        return Err(said(StatusCode::BAD_REQUEST, "a page's name has 64 letters at most"));
    }
    let asked = (ask.page.clone(), ask.number);
    let found = worked(served, asked, move |work, ends| work.answer(&ask, ends)).await?;
    Ok(Json(found).into_response())
}

async fn orders(Shared(served): Shared<Arc<Served>>, headers: HeaderMap, body: Body) -> Result<Response, Response> {
    let ask: Ask = read(&headers, body).await?;
    let rows = worked(served, (String::new(), 0), move |work, ends| work.orders(&ask, ends)).await?;
    Ok(Json(json!({ "rows": rows })).into_response())
}

async fn figure(Shared(served): Shared<Arc<Served>>, headers: HeaderMap, body: Body) -> Result<Response, Response> {
    let wanted: Wanted = read(&headers, body).await?;
    let found = worked(served, (String::new(), 0), move |work, ends| work.figure(&wanted, ends)).await?;
    let Some((name, bytes)) = found else {
        return Err(said(StatusCode::UNPROCESSABLE_ENTITY, "there is nothing to draw: fixation fails before"));
    };
    let kind = if name.ends_with("svg") { "image/svg+xml" } else { "image/png" };
    let name = format!("attachment; filename=\"{name}\"");
    Ok(([(header::CONTENT_TYPE, kind.to_owned()), (header::CONTENT_DISPOSITION, name)], bytes).into_response())
}
