//! The live page: its routes, its digits, and a browser that uses it.

mod browser;
mod digits;
mod routes;
mod tab;

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// The program serving its page, in a folder of its own.
struct Served {
    program: Child,
    port: u16,
    folder: tempfile::TempDir,
}

impl Served {
    fn new(arguments: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut program = Command::new(env!("CARGO_BIN_EXE_rimhold"))
            .args(["live", "--quiet"])
            .args(arguments)
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(program.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let port = line.trim().trim_end_matches('/').rsplit(':').next().and_then(|port| port.parse().ok());
        Self { program, port: port.unwrap_or_else(|| panic!("{line:?}")), folder }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        stream
    }

    /// Sends bytes as they are and gives all that comes back.
    fn raw(&self, bytes: &[u8]) -> Reply {
        let mut stream = self.connect();
        // A server that refuses may close before all is sent.
        let _ = stream.write_all(bytes);
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all);
        Reply::of(&all)
    }

    fn get(&self, path: &str) -> Reply {
        let port = self.port;
        self.raw(format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n").as_bytes())
    }

    fn post(&self, path: &str, body: &str) -> Reply {
        self.raw(&self.posting(path, "application/json", body, "Connection: close\r\n"))
    }

    fn posting(&self, path: &str, kind: &str, body: &str, more: &str) -> Vec<u8> {
        let (port, length) = (self.port, body.len());
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\n{more}\r\n"
        );
        [head.as_bytes(), body.as_bytes()].concat()
    }

    /// The state that the page begins with.
    fn start(&self) -> Value {
        self.get("/start").json()["state"].clone()
    }

    /// The answer to a question of a state, with more of what a question can say.
    fn ask(&self, state: &Value, more: Value) -> Value {
        let mut ask = json!({ "state": state });
        ask.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        let reply = self.post("/answer", &ask.to_string());
        assert_eq!(reply.status, 200, "{}", reply.text());
        reply.json()
    }

    /// Memory in use, kB, where the system tells it.
    fn memory(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.program.id())).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmRSS"))?;
        line.split_whitespace().nth(1)?.parse().ok()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

/// What a server sent.
struct Reply {
    status: u16,
    head: String,
    body: Vec<u8>,
}

impl Reply {
    fn of(all: &[u8]) -> Self {
        let end = all.windows(4).position(|w| w == b"\r\n\r\n").unwrap_or(all.len());
        let head = String::from_utf8_lossy(&all[..end]).into_owned();
        let status = head.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0);
        Self { status, head: head.to_lowercase(), body: all.get(end + 4..).unwrap_or_default().to_vec() }
    }

    fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {}", self.text()))
    }
}
