//! nginx with the sample configuration, on a free port of this machine, and a reader of its answers that hides nothing.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// The configuration as it is published.
pub const SAMPLE: &str = include_str!("../../hosting/nginx.conf");

/// A running nginx; it ends when this is dropped.
pub struct Nginx {
    child: Child,
    port: u16,
    // Its files go away with it.
    _folder: tempfile::TempDir,
}

/// What a server answered.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    /// Each header by its name in small letters; several of one name are joined by commas.
    pub headers: BTreeMap<String, String>,
    pub body: Vec<u8>,
}

impl Nginx {
    /// Serves `site` by the sample, in which nothing but paths and the port is changed.
    pub fn start(site: &Path) -> Nginx {
        let folder = tempfile::tempdir().expect("a folder");
        let port = TcpListener::bind("127.0.0.1:0")
            .and_then(|listener| listener.local_addr())
            .expect("a free port")
            .port();
        let site = site.to_str().expect("text");
        let own = SAMPLE
            .replace("/srv/library/;", &format!("\"{site}/\";"))
            .replace("listen 80;", &format!("listen 127.0.0.1:{port};"));
        assert_ne!(own, SAMPLE);
        let at = |name: &str| folder.path().join(name);
        fs::write(at("site.conf"), own).expect("a file");
        fs::write(at("nginx.conf"), around(folder.path())).expect("a file");
        let child = Command::new("nginx")
            .arg("-c")
            .arg(at("nginx.conf"))
            .args(["-g", "daemon off;", "-e"])
            .arg(at("error.log"))
            .stdin(Stdio::null())
            .spawn()
            .unwrap_or_else(|error| panic!("nginx: {error}; tests/run installs it"));
        let mut nginx = Nginx {
            child,
            port,
            _folder: folder,
        };
        nginx.wait();
        nginx
    }

    fn wait(&mut self) {
        let end = Instant::now() + Duration::from_secs(20);
        while TcpStream::connect(("127.0.0.1", self.port)).is_err() {
            let ended = self.child.try_wait().expect("nginx");
            assert!(
                ended.is_none() && Instant::now() < end,
                "nginx does not answer: {}",
                self.log()
            );
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// What nginx wrote of itself.
    pub fn log(&self) -> String {
        fs::read_to_string(self._folder.path().join("error.log")).unwrap_or_default()
    }

    pub fn address(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    pub fn get(&self, path: &str, headers: &[(&str, &str)]) -> Answer {
        self.ask("GET", path, headers)
    }

    pub fn ask(&self, method: &str, path: &str, headers: &[(&str, &str)]) -> Answer {
        let mut request =
            format!("{method} {path} HTTP/1.1\r\nHost: library.example\r\nConnection: close\r\n");
        for (name, value) in headers {
            request.push_str(&format!("{name}: {value}\r\n"));
        }
        request.push_str("\r\n");
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("a connection");
        stream.write_all(request.as_bytes()).expect("asked");
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).expect("an answer");
        answer(&bytes)
    }
}

impl Drop for Nginx {
    fn drop(&mut self) {
        // Asked to end, it ends its workers too; killed, it would leave them.
        let id = self.child.id().to_string();
        let _ = Command::new("kill").args(["-TERM", &id]).status();
        let _ = self.child.wait();
    }
}

/// The configuration around the sample, as Debian has it, with every file in a folder of the test's.
fn around(folder: &Path) -> String {
    let folder = folder.to_str().expect("text");
    // Where root starts it, the workers may read what root may: the test's folders are nobody else's.
    let user =
        match fs::metadata("/proc/self").map(|about| std::os::unix::fs::MetadataExt::uid(&about)) {
            Ok(0) => "user root;\n",
            _ => "",
        };
    let temporary = ["client_body", "proxy", "fastcgi", "uwsgi", "scgi"];
    let temporary = temporary
        .map(|name| format!("  {name}_temp_path {folder}/{name};\n"))
        .concat();
    format!(
        "{user}worker_processes 1;\npid {folder}/pid;\nevents {{}}\nhttp {{\n  include /etc/nginx/mime.types;\n  default_type application/octet-stream;\n  access_log off;\n{temporary}  include {folder}/site.conf;\n}}\n"
    )
}

fn answer(bytes: &[u8]) -> Answer {
    let split = bytes
        .windows(4)
        .position(|four| four == b"\r\n\r\n")
        .expect("a head");
    let head = String::from_utf8_lossy(&bytes[..split]).into_owned();
    let mut lines = head.lines();
    let status = lines
        .next()
        .and_then(|line| line.split(' ').nth(1))
        .and_then(|word| word.parse().ok());
    let mut headers = BTreeMap::new();
    for (name, value) in lines.filter_map(|line| line.split_once(": ")) {
        let all: &mut String = headers.entry(name.to_ascii_lowercase()).or_default();
        if !all.is_empty() {
            all.push_str(", ");
        }
        all.push_str(value);
    }
    let rest = &bytes[split + 4..];
    let body = match headers.get("transfer-encoding").map(String::as_str) {
        Some("chunked") => unchunked(rest),
        _ => rest.to_vec(),
    };
    Answer {
        status: status.expect("a status"),
        headers,
        body,
    }
}

/// A body sent in pieces, each after its length (RFC 9112, section 7.1).
fn unchunked(mut rest: &[u8]) -> Vec<u8> {
    let mut body = Vec::new();
    while let Some(end) = rest.windows(2).position(|two| two == b"\r\n") {
        let length = std::str::from_utf8(&rest[..end]).expect("a length");
        let length = usize::from_str_radix(length, 16).expect("a length");
        body.extend_from_slice(&rest[end + 2..end + 2 + length]);
        rest = &rest[end + 2 + length + 2..];
        if length == 0 {
            break;
        }
    }
    body
}

/// A gzip file unpacked (RFC 1952): ten bytes of head where no name is kept, eight of end.
pub fn unzipped(bytes: &[u8]) -> Vec<u8> {
    assert_eq!(bytes[..4], [0x1f, 0x8b, 8, 0], "a plain head");
    miniz_oxide::inflate::decompress_to_vec(&bytes[10..bytes.len() - 8]).expect("packed text")
}
