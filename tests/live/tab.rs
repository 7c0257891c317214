//! A tab of a real browser, driven over its debugging protocol: what the tests need of it, as plain JSON. A crate for it
//! would bring the whole protocol as generated code, which takes longer to build than all tests together.

use serde_json::{Value, json};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tungstenite::{Message, WebSocket, stream::MaybeTlsStream};

pub struct Tab {
    program: Child,
    socket: WebSocket<MaybeTlsStream<std::net::TcpStream>>,
    last: u64,
    session: Option<Value>,
    /// What the console said, and errors nobody caught.
    pub console: Vec<String>,
    _profile: tempfile::TempDir,
}

impl Tab {
    /// A new tab of a browser of its own; `None`, and said so, where none is installed.
    pub fn open() -> Option<Self> {
        let found = ["chromium", "chromium-browser", "google-chrome"];
        let browser = found.into_iter().find(|b| Command::new(b).arg("--version").output().is_ok());
        let Some(browser) = browser else {
            println!("no Chromium is installed: the live page was not opened in a browser");
            return None;
        };
        let profile = tempfile::tempdir().unwrap();
        let program = Command::new(browser)
            .args(["--headless=new", "--no-sandbox", "--disable-gpu", "--remote-debugging-port=0", "about:blank"])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Its port stands in a file as soon as it listens.
        let begun = Instant::now();
        let port = loop {
            let text = std::fs::read_to_string(profile.path().join("DevToolsActivePort")).unwrap_or_default();
            let mut lines = text.lines();
            if let (Some(port), Some(path)) = (lines.next(), lines.next()) {
                break format!("ws://127.0.0.1:{port}{path}");
            }
            assert!(begun.elapsed() < Duration::from_secs(60), "the browser does not start");
            std::thread::sleep(Duration::from_millis(50));
        };
        let (socket, _) = tungstenite::connect(port).unwrap();
        let mut tab = Self { program, socket, last: 0, session: None, console: Vec::new(), _profile: profile };
        let target = tab.send("Target.createTarget", json!({ "url": "about:blank" }));
        let attached = json!({ "targetId": target["targetId"], "flatten": true });
        let session = tab.send("Target.attachToTarget", attached)["sessionId"].clone();
        tab.session = Some(session);
        for domain in ["Page.enable", "Runtime.enable", "Log.enable"] {
            tab.send(domain, json!({}));
        }
        Some(tab)
    }

    /// Sends a command and waits for its answer; messages of the console that come meanwhile are kept.
    pub fn send(&mut self, method: &str, parameters: Value) -> Value {
        self.last += 1;
        let mut message = json!({ "id": self.last, "method": method, "params": parameters });
        if let Some(session) = &self.session {
            message["sessionId"] = session.clone();
        }
        self.socket.send(Message::text(message.to_string())).unwrap();
        loop {
            let Message::Text(text) = self.socket.read().unwrap() else { continue };
            let message: Value = serde_json::from_str(&text).unwrap();
            let said = &message["params"];
            match message["method"].as_str() {
                Some("Runtime.exceptionThrown") => self.console.push(said["exceptionDetails"].to_string()),
                Some("Runtime.consoleAPICalled") if said["type"] == "error" => self.console.push(said.to_string()),
                Some("Log.entryAdded") if said["entry"]["level"] == "error" => self.console.push(said.to_string()),
                _ => {}
            }
            if message["id"] == self.last {
                assert!(message["error"].is_null(), "{method}: {message}");
                return message["result"].clone();
            }
        }
    }

    /// The value of an expression, waited for where it is a promise.
    pub fn value(&mut self, expression: &str) -> Value {
        let asked = json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let result = self.send("Runtime.evaluate", asked);
        assert!(result["exceptionDetails"].is_null(), "{expression}\n{result}");
        result["result"]["value"].clone()
    }

    /// Opens an address and waits until the page has its first answer.
    pub fn go(&mut self, address: &str) {
        self.send("Page.navigate", json!({ "url": "about:blank" }));
        self.send("Page.navigate", json!({ "url": address }));
        let begun = Instant::now();
        while self.value("document.readyState === 'complete' && Boolean(window.rimhold?.latest)") != true {
            assert!(begun.elapsed() < Duration::from_secs(60), "no answer at {address}\n{:?}", self.console);
            std::thread::sleep(Duration::from_millis(30));
        }
        self.idle();
    }

    /// Waits until nothing is asked any more.
    pub fn idle(&mut self) {
        self.value("window.rimhold.idle()");
    }

    /// Waits until an expression is true.
    pub fn until(&mut self, expression: &str) {
        let begun = Instant::now();
        while self.value(expression) != true {
            assert!(begun.elapsed() < Duration::from_secs(30), "never: {expression}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    pub fn size(&mut self, width: u32, height: u32, touch: bool) {
        let size = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": touch });
        self.send("Emulation.setDeviceMetricsOverride", size);
        self.send("Emulation.setTouchEmulationEnabled", json!({ "enabled": touch }));
    }

    pub fn scheme(&mut self, scheme: &str) {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.send("Emulation.setEmulatedMedia", json!({ "features": features }));
    }

    /// The middle of an element, px.
    pub fn middle(&mut self, selector: &str) -> [f64; 2] {
        let box_of = format!("document.querySelector({}).getBoundingClientRect()", json!(selector));
        let at = self.value(&format!("(r => [r.x + r.width / 2, r.y + r.height / 2])({box_of})"));
        [at[0].as_f64().unwrap(), at[1].as_f64().unwrap()]
    }

    pub fn mouse(&mut self, kind: &str, [x, y]: [f64; 2]) {
        let pressed = u8::from(kind != "mouseReleased");
        let event = json!({ "type": kind, "x": x, "y": y, "button": "left", "buttons": pressed, "clickCount": 1 });
        self.send("Input.dispatchMouseEvent", event);
    }

    /// Presses at a point and moves by so many px in steps, as fast as a screen shows them; the button stays down.
    pub fn drag(&mut self, from: [f64; 2], by: [f64; 2], steps: usize) {
        self.mouse("mousePressed", from);
        for k in 1..=steps {
            let share = k as f64 / steps as f64;
            self.mouse("mouseMoved", [from[0] + share * by[0], from[1] + share * by[1]]);
            std::thread::sleep(Duration::from_millis(16));
        }
    }

    /// Strikes a key; modifiers: 1 Alt, 2 Control, 8 Shift.
    pub fn key(&mut self, key: &str, modifiers: u8) {
        let code = match key {
            "Tab" => 9,
            "Enter" => 13,
            "Escape" => 27,
            "ArrowLeft" => 37,
            "ArrowUp" => 38,
            "ArrowRight" => 39,
            "ArrowDown" => 40,
            _ => i32::from(key.to_uppercase().as_bytes()[0]),
        };
        let mut event = json!({ "type": "keyDown", "key": key, "windowsVirtualKeyCode": code, "modifiers": modifiers });
        if key == "Enter" {
            event["text"] = json!("\r");
        } else if key.len() == 1 && modifiers & 2 == 0 {
            event["text"] = json!(key);
        }
        self.send("Input.dispatchKeyEvent", event.clone());
        event["type"] = json!("keyUp");
        event.as_object_mut().unwrap().remove("text");
        self.send("Input.dispatchKeyEvent", event);
    }

    /// The page as a picture.
    pub fn picture(&mut self) -> Vec<u8> {
        use base64::Engine as _;
        let shot = self.send("Page.captureScreenshot", json!({ "format": "png" }));
        base64::engine::general_purpose::STANDARD.decode(shot["data"].as_str().unwrap()).unwrap()
    }
}

impl Drop for Tab {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}
