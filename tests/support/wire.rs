//! The line to one Chromium: its start, its messages both ways, its end.
//!
//! Chromium reads commands from its file descriptor 3 and answers on 4 (`--remote-debugging-pipe`): JSON texts,
//! each ended by a zero byte. There is no port that another program could take or reach.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// After this long without an answer Chromium hangs. Far longer than any answer takes on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(60);

const FLAGS: [&str; 12] = [
    "--headless",
    // The tests may run as root, as whom Chromium starts no sandbox. They open pages of our own making only.
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-extensions",
    "--hide-scrollbars",
    "--mute-audio",
    "--remote-debugging-pipe",
];

pub struct Wire {
    child: Child,
    commands: ChildStdin,
    messages: Receiver<Value>,
    last_id: u64,
    /// Everything that Chromium told unasked, oldest first.
    pub events: Vec<Value>,
    /// Removed when this is dropped, after `drop` below has seen Chromium end: it writes there to the last.
    _profile: TempDir,
}

impl Wire {
    pub fn open() -> Wire {
        let profile = tempfile::tempdir().expect("a folder for the profile");
        // The shell passes our pipes, its 0 and 1, on as 3 and 4, which the standard library cannot do.
        let mut child = Command::new("sh")
            .args(["-c", "exec \"$@\" 3<&0 4>&1 1>&2", "sh", "chromium"])
            .args(FLAGS)
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg("about:blank")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            // The start script and the missing desktop bus are noisy about nothing.
            .stderr(Stdio::null())
            .spawn()
            .expect("a shell");
        let commands = child.stdin.take().expect("a pipe");
        let answers = child.stdout.take().expect("a pipe");
        let (sender, messages) = channel();
        std::thread::spawn(move || pass_on(answers, &sender));
        Wire {
            child,
            commands,
            messages,
            last_id: 0,
            events: Vec::new(),
            _profile: profile,
        }
    }

    /// Sends a command, to the browser itself if `session` is empty, and waits for its result.
    pub fn call(&mut self, session: &str, method: &str, parameters: Value) -> Value {
        self.last_id += 1;
        let mut message = json!({"id": self.last_id, "method": method, "params": parameters});
        if !session.is_empty() {
            message["sessionId"] = json!(session);
        }
        self.send(&message).unwrap_or_else(|error| {
            panic!("chromium is not running (tests/run installs it): {error}")
        });
        loop {
            let answer = self.receive(method);
            if answer["id"] != json!(self.last_id) {
                self.events.push(answer);
            } else if let Some(error) = answer.get("error") {
                panic!("{method}: {error}");
            } else {
                return answer["result"].clone();
            }
        }
    }

    /// Waits for an event of a session that has not been taken yet, and takes it.
    pub fn wait(&mut self, session: &str, method: &str) -> Value {
        let is_it = |event: &Value| event["sessionId"] == session && event["method"] == method;
        if let Some(index) = self.events.iter().position(is_it) {
            return self.events.remove(index);
        }
        loop {
            let event = self.receive(method);
            if is_it(&event) {
                return event;
            }
            self.events.push(event);
        }
    }

    fn send(&mut self, message: &Value) -> std::io::Result<()> {
        let mut bytes = message.to_string().into_bytes();
        bytes.push(0);
        self.commands.write_all(&bytes)?;
        self.commands.flush()
    }

    fn receive(&mut self, waiting_for: &str) -> Value {
        let message = self.messages.recv_timeout(PATIENCE);
        message.unwrap_or_else(|error| panic!("waiting for {waiting_for}: {error}"))
    }
}

impl Drop for Wire {
    fn drop(&mut self) {
        let _ = self.send(&json!({"id": 0, "method": "Browser.close"}));
        let end = Instant::now() + Duration::from_secs(10);
        while Instant::now() < end && matches!(self.child.try_wait(), Ok(None)) {
            std::thread::sleep(Duration::from_millis(10));
        }
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn pass_on(answers: ChildStdout, sender: &Sender<Value>) {
    let mut answers = BufReader::new(answers);
    let mut bytes = Vec::new();
    while answers
        .read_until(0, &mut bytes)
        .is_ok_and(|count| count > 0)
    {
        bytes.pop();
        if let Ok(message) = serde_json::from_slice(&bytes)
            && sender.send(message).is_err()
        {
            return;
        }
        bytes.clear();
    }
}
