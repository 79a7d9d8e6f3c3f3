//! A small static HTTP server on this machine, as plain as the plainest host that a site must work on.

use std::collections::VecDeque;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;

/// The site is served below a path of its own, as on many hosts: an address from the root would miss it.
const BASE: &str = "/lib/";

/// Serves a folder until it is stopped or dropped.
pub struct Server {
    address: SocketAddr,
    shared: Arc<Shared>,
    thread: Option<JoinHandle<()>>,
}

struct Shared {
    folder: Mutex<PathBuf>,
    /// After so many more answers comes another folder, and so on.
    next: Mutex<VecDeque<(usize, PathBuf)>>,
    policy: String,
    requests: Mutex<Vec<String>>,
    is_stopped: AtomicBool,
}

impl Server {
    /// Serves `folder` with this content-security policy in every answer; an empty one is left out.
    pub fn start(folder: &Path, policy: &str) -> Server {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
        let address = listener.local_addr().expect("an address");
        let shared = Arc::new(Shared {
            folder: Mutex::new(folder.to_owned()),
            next: Mutex::default(),
            policy: policy.to_owned(),
            requests: Mutex::default(),
            is_stopped: AtomicBool::new(false),
        });
        let own = Arc::clone(&shared);
        let thread = Some(std::thread::spawn(move || serve(&listener, &own)));
        Server {
            address,
            shared,
            thread,
        }
    }

    /// The address of a file of the folder; of the folder itself for an empty `path`.
    pub fn address(&self, path: &str) -> String {
        format!("http://{}{BASE}{path}", self.address)
    }

    /// Serves another folder from the next answer on.
    pub fn switch(&self, folder: &Path) {
        let mut next = self.shared.next.lock().expect("the next folders");
        next.clear();
        next.push_back((0, folder.to_owned()));
    }

    /// Serves another folder once so many more answers were given after what was told before, as when a library is
    /// published while it is read.
    pub fn switch_after(&self, answers: usize, folder: &Path) {
        let mut next = self.shared.next.lock().expect("the next folders");
        next.push_back((answers, folder.to_owned()));
    }

    /// Whether the last folder that was told is the one that is served.
    pub fn is_switched(&self) -> bool {
        let next = self.shared.next.lock().expect("the next folders");
        next.is_empty()
    }

    /// Every path asked for so far, in order, as it was sent: `/lib/index.html?q=hub`.
    pub fn requests(&self) -> Vec<String> {
        self.shared.requests.lock().expect("requests").clone()
    }

    /// Takes the server off the network, which is the one sure way to test an offline copy.
    pub fn stop(&mut self) {
        self.shared.is_stopped.store(true, Ordering::SeqCst);
        // Wakes the thread, which waits for a connection.
        let _ = TcpStream::connect(self.address);
        if let Some(thread) = self.thread.take() {
            thread.join().expect("a server that ends well");
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.stop();
    }
}

impl Shared {
    /// The folder that this answer comes from.
    fn folder(&self) -> PathBuf {
        let mut folder = self.folder.lock().expect("the folder");
        let mut next = self.next.lock().expect("the next folders");
        if next.front().is_some_and(|(left, _)| *left == 0) {
            *folder = next.pop_front().expect("the first").1;
        }
        if let Some((left, _)) = next.front_mut() {
            *left = left.saturating_sub(1);
        }
        folder.clone()
    }
}

fn serve(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.is_stopped.load(Ordering::SeqCst) {
            return;
        }
        // A connection of its own for each: a browser opens some that it then leaves silent.
        if let Ok(stream) = stream {
            let shared = Arc::clone(shared);
            std::thread::spawn(move || answer(stream, &shared));
        }
    }
}

fn answer(mut stream: TcpStream, shared: &Shared) -> Option<()> {
    let mut lines = BufReader::new(stream.try_clone().ok()?).lines();
    let request = lines.next()?.ok()?;
    while !lines.next()?.ok()?.is_empty() {}
    let mut words = request.split(' ');
    let (method, asked) = (words.next()?, words.next()?);
    shared
        .requests
        .lock()
        .expect("requests")
        .push(asked.to_owned());
    let (status, kind, body) = match file(asked, &shared.folder()) {
        _ if method != "GET" && method != "HEAD" => (
            "405 Method Not Allowed",
            "text/plain; charset=utf-8",
            b"no such method".to_vec(),
        ),
        Some((kind, bytes)) => ("200 OK", kind, bytes),
        None => (
            "404 Not Found",
            "text/plain; charset=utf-8",
            b"no such file".to_vec(),
        ),
    };
    let policy = match shared.policy.as_str() {
        "" => String::new(),
        policy => format!("Content-Security-Policy: {policy}\r\n"),
    };
    let length = body.len();
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\n{policy}\
         X-Content-Type-Options: nosniff\r\nCache-Control: no-cache\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).ok()?;
    match method {
        "HEAD" => Some(()),
        _ => stream.write_all(&body).ok(),
    }
}

/// The content type and the bytes of the file that a request asks for.
fn file(asked: &str, folder: &Path) -> Option<(&'static str, Vec<u8>)> {
    let path = asked.split(['?', '#']).next()?.strip_prefix(BASE)?;
    let path = percent_decoded(path)?;
    if path.split('/').any(|part| part == "..") {
        return None;
    }
    let mut file = folder.join(&path);
    if path.is_empty() || path.ends_with('/') {
        file.push("index.html");
    }
    let kind = content_type(file.extension()?.to_str()?);
    Some((kind, fs::read(file).ok()?))
}

fn percent_decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        rest = after;
        if *first == b'%' {
            let digits = std::str::from_utf8(rest.get(..2)?).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
            rest = &rest[2..];
        } else {
            bytes.push(*first);
        }
    }
    String::from_utf8(bytes).ok()
}

/// The registered media type of a file by its ending.
fn content_type(ending: &str) -> &'static str {
    match ending {
        "atom" => "application/atom+xml; charset=utf-8",
        "avif" => "image/avif",
        "css" => "text/css; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        "gif" => "image/gif",
        "html" => "text/html; charset=utf-8",
        "jpeg" | "jpg" => "image/jpeg",
        "js" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "mp4" => "video/mp4",
        "pdf" => "application/pdf",
        "png" => "image/png",
        "svg" => "image/svg+xml; charset=utf-8",
        "txt" => "text/plain; charset=utf-8",
        "vtt" => "text/vtt; charset=utf-8",
        "webmanifest" => "application/manifest+json",
        "webp" => "image/webp",
        "woff2" => "font/woff2",
        "xml" => "application/xml; charset=utf-8",
        _ => "application/octet-stream",
    }
}
