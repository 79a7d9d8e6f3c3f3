//! A real browser, driven by tests: pages are opened, clicked, typed into, looked at and printed.

use super::wire::{PATIENCE, Wire};
use serde_json::{Value, json};
use std::cell::RefCell;
use std::path::Path;
use std::rc::Rc;
use std::time::{Duration, Instant};

/// A Chromium with a fresh profile, which ends with the last of its pages.
pub struct Browser {
    wire: Rc<RefCell<Wire>>,
}

/// One tab. Whatever goes wrong between test and browser panics with what was tried.
pub struct Page {
    wire: Rc<RefCell<Wire>>,
    session: String,
}

/// The address of a file on this machine.
pub fn file_address(path: &Path) -> String {
    let path = std::path::absolute(path).expect("an absolute path");
    let mut address = "file://".to_owned();
    for byte in path.to_str().expect("a path in UTF-8").bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'-' | b'_' | b'.' | b'~' => {
                address.push(byte.into());
            }
            _ => address.push_str(&format!("%{byte:02X}")),
        }
    }
    address
}

impl Browser {
    pub fn launch() -> Browser {
        Browser {
            wire: Rc::new(RefCell::new(Wire::open())),
        }
    }

    /// A new, empty tab.
    pub fn page(&self) -> Page {
        let mut wire = self.wire.borrow_mut();
        let target = wire.call("", "Target.createTarget", json!({"url": "about:blank"}));
        let attach = json!({"targetId": target["targetId"], "flatten": true});
        let attached = wire.call("", "Target.attachToTarget", attach);
        let session = attached["sessionId"]
            .as_str()
            .expect("a session")
            .to_owned();
        for domain in ["Page", "Runtime", "Log", "Network", "Audits"] {
            wire.call(&session, &format!("{domain}.enable"), json!({}));
        }
        Page {
            wire: Rc::clone(&self.wire),
            session,
        }
    }
}

impl Page {
    /// Any command of the protocol, for what no function here does.
    pub fn call(&self, method: &str, parameters: Value) -> Value {
        self.wire
            .borrow_mut()
            .call(&self.session, method, parameters)
    }

    /// Opens an address and waits until everything in it is loaded.
    pub fn goto(&self, address: &str) {
        self.forget("Page.loadEventFired");
        let navigated = self.call("Page.navigate", json!({"url": address}));
        if let Some(error) = navigated["errorText"].as_str() {
            panic!("{address}: {error}");
        }
        // A step within the document, to another fragment, loads nothing.
        if navigated.get("loaderId").is_some() {
            self.wait_for_load();
        }
    }

    /// Waits for the end of a load that a click began.
    pub fn wait_for_load(&self) {
        self.wire
            .borrow_mut()
            .wait(&self.session, "Page.loadEventFired");
    }

    /// The value of a JavaScript expression; of what it promises, if it is a promise.
    pub fn eval(&self, expression: &str) -> Value {
        let parameters =
            json!({"expression": expression, "awaitPromise": true, "returnByValue": true});
        let answer = self.call("Runtime.evaluate", parameters);
        if let Some(thrown) = answer.get("exceptionDetails") {
            panic!("{expression}: {}", thrown["exception"]["description"]);
        }
        answer["result"]["value"].clone()
    }

    /// Waits until an expression is true.
    pub fn wait_until(&self, expression: &str) {
        let end = Instant::now() + PATIENCE;
        while self.eval(expression) != json!(true) {
            assert!(Instant::now() < end, "never true: {expression}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Clicks the middle of the first element that a selector finds, as a mouse does: what covers it gets the
    /// click, so the element must be on top there.
    pub fn click_at(&self, selector: &str) {
        let script = "(selector => {
            const element = document.querySelector(selector);
            if (!element) return null;
            element.scrollIntoView({block: 'center', inline: 'center', behavior: 'instant'});
            const box = element.getBoundingClientRect();
            const x = box.x + box.width / 2, y = box.y + box.height / 2;
            const top = document.elementFromPoint(x, y);
            return [x, y, element.contains(top), top ? top.outerHTML.slice(0, 80) : 'nothing'];
        })";
        let found = self.eval(&format!("{script}({})", json!(selector)));
        assert!(!found.is_null(), "nothing to click at {selector}");
        assert!(
            found[2] == json!(true),
            "{selector} is covered by {}",
            found[3]
        );
        for kind in ["mousePressed", "mouseReleased"] {
            let mouse = json!({
                "type": kind, "x": found[0], "y": found[1], "button": "left", "clickCount": 1,
            });
            self.call("Input.dispatchMouseEvent", mouse);
        }
    }

    /// Types text into whatever has the focus.
    pub fn type_text(&self, text: &str) {
        self.call("Input.insertText", json!({"text": text}));
    }

    /// Presses a key by its DOM name: `Tab`, `Enter`, `Escape`, `ArrowDown`, `a` and so on.
    pub fn press(&self, key: &str) {
        let (code, text) = match key {
            "Backspace" => (8, ""),
            "Tab" => (9, ""),
            "Enter" => (13, "\r"),
            "Escape" => (27, ""),
            " " => (32, " "),
            "Delete" => (46, ""),
            "End" => (35, ""),
            "Home" => (36, ""),
            "ArrowLeft" => (37, ""),
            "ArrowUp" => (38, ""),
            "ArrowRight" => (39, ""),
            "ArrowDown" => (40, ""),
            other if other.len() == 1 => (other.to_ascii_uppercase().as_bytes()[0].into(), other),
            other => panic!("no key {other}"),
        };
        let mut event = json!({"type": "keyDown", "key": key, "windowsVirtualKeyCode": code});
        if text.is_empty() {
            event["type"] = json!("rawKeyDown");
        } else {
            event["text"] = json!(text);
        }
        self.call("Input.dispatchKeyEvent", event.clone());
        event["type"] = json!("keyUp");
        self.call("Input.dispatchKeyEvent", event);
    }

    /// Sets the size of the window in CSS pixels and how many real ones make one of them. Up to 600 wide it is
    /// a phone, which honours the page's viewport line.
    pub fn set_window(&self, width: u32, height: u32, scale: f64) {
        let metrics = json!({
            "width": width, "height": height, "deviceScaleFactor": scale, "mobile": width <= 600,
        });
        self.call("Emulation.setDeviceMetricsOverride", metrics);
    }

    /// Sets the medium (`screen`, `print`, or nothing for the usual one) and media features such as
    /// `("prefers-color-scheme", "dark")`, in place of those set before.
    pub fn set_media(&self, medium: &str, features: &[(&str, &str)]) {
        let feature = |(name, value): &(&str, &str)| json!({"name": name, "value": value});
        let features: Vec<Value> = features.iter().map(feature).collect();
        let media = json!({"media": medium, "features": features});
        self.call("Emulation.setEmulatedMedia", media);
    }

    /// Switches the page's scripts off for the pages opened from now on. `eval` still works.
    pub fn set_scripts_off(&self, is_off: bool) {
        self.call(
            "Emulation.setScriptExecutionDisabled",
            json!({"value": is_off}),
        );
    }

    /// Refuses every request over the network; files are not affected.
    pub fn block_network(&self) {
        let addresses = json!({"urls": ["http://*", "https://*"]});
        self.call("Network.setBlockedURLs", addresses);
    }

    /// The window as a PNG picture, of `width * scale` by `height * scale` pixels, light or dark.
    pub fn screenshot(&self, width: u32, height: u32, scale: f64, is_dark: bool) -> Vec<u8> {
        self.set_window(width, height, scale);
        let scheme = if is_dark { "dark" } else { "light" };
        self.set_media("", &[("prefers-color-scheme", scheme)]);
        let picture = self.call("Page.captureScreenshot", json!({"format": "png"}));
        from_base64(picture["data"].as_str().expect("a picture"))
    }

    /// The page on A4, or in the size that its style sheet asks for, as PDF.
    pub fn print_to_pdf(&self) -> Vec<u8> {
        self.print_on(8.27, 11.69)
    }

    /// The page on paper of so many inches, lying if its style sheet asks for that, as PDF. Grounds are left out, as a
    /// browser leaves them out unless somebody asks for them.
    pub fn print_on(&self, width: f64, height: f64) -> Vec<u8> {
        let parameters = json!({
            "preferCSSPageSize": true, "printBackground": false, "paperWidth": width, "paperHeight": height,
            "generateTaggedPDF": true, "generateDocumentOutline": true,
        });
        let paper = self.call("Page.printToPDF", parameters);
        from_base64(paper["data"].as_str().expect("a document"))
    }

    /// Every address that this tab asked for since it was made, in order, those of files included.
    pub fn requests(&self) -> Vec<String> {
        let address = |event: &Value| match event["method"].as_str() {
            Some("Network.requestWillBeSent") => event["params"]["request"]["url"]
                .as_str()
                .map(str::to_owned),
            _ => None,
        };
        self.events(address)
    }

    /// Every error that this tab reported since it was made: uncaught exceptions, `console.error`, failed
    /// loads, and breaches of the content-security policy.
    pub fn console_errors(&self) -> Vec<String> {
        self.events(|event| {
            let about = &event["params"];
            match event["method"].as_str()? {
                "Runtime.exceptionThrown" => Some(format!(
                    "exception: {}",
                    about["exceptionDetails"]["exception"]["description"]
                )),
                "Runtime.consoleAPICalled" if about["type"] == "error" => {
                    Some(format!("console: {}", about["args"][0]["value"]))
                }
                "Log.entryAdded" if about["entry"]["level"] == "error" => Some(format!(
                    "log: {} {}",
                    about["entry"]["text"], about["entry"]["url"]
                )),
                "Audits.issueAdded" if about["issue"]["code"] == "ContentSecurityPolicyIssue" => {
                    let details = &about["issue"]["details"]["contentSecurityPolicyIssueDetails"];
                    Some(format!("policy: {}", details["violatedDirective"]))
                }
                _ => None,
            }
        })
    }

    fn events(&self, of: impl Fn(&Value) -> Option<String>) -> Vec<String> {
        // What the page reported before this question comes before its answer.
        self.eval("0");
        let wire = self.wire.borrow();
        let own = |event: &&Value| event["sessionId"] == self.session.as_str();
        wire.events.iter().filter(own).filter_map(of).collect()
    }

    fn forget(&self, method: &str) {
        let mut wire = self.wire.borrow_mut();
        let session = self.session.as_str();
        wire.events
            .retain(|event| event["sessionId"] != session || event["method"] != method);
    }
}

/// The bytes of a base64 text (RFC 4648, section 4).
fn from_base64(text: &str) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3);
    let (mut bits, mut count) = (0_u32, 0);
    for letter in text.bytes() {
        let value = match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => continue,
        };
        bits = bits << 6 | u32::from(value);
        count += 6;
        if count >= 8 {
            count -= 8;
            bytes.push((bits >> count & 0xff) as u8);
        }
    }
    bytes
}
