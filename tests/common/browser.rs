//! A browser without a window, driven over the open WebDriver protocol (W3C). Its driver takes a free
//! port by itself and is gone, with every process it started, when the test ends; nothing waits for
//! ever.
#![allow(
    dead_code,
    reason = "each file of tests uses a part, and all of them use the whole"
)]

use std::future::Future;
use std::io::{BufRead, BufReader};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use fantoccini::elements::Element;
use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::runtime::Runtime;

/// Longest wait for the driver, for a page or for an answer, on a machine that is busy.
const LIMIT: Duration = Duration::from_secs(120);
/// Longest wait for a browser that is to close.
const CLOSING: Duration = Duration::from_secs(10);

/// What the reader of the page has and prefers.
#[derive(Clone, Copy, Debug)]
pub struct Reader {
    /// Width and height of the page.
    pub size: (u32, u32),
    /// Whether they prefer dark pages.
    pub dark: bool,
    /// Whether scripts may run.
    pub script: bool,
}

/// A phone held upright, light, with scripts.
pub const PHONE: Reader = Reader {
    size: (390, 844),
    dark: false,
    script: true,
};

/// A computer's screen, light, with scripts.
pub const DESK: Reader = Reader {
    size: (1280, 800),
    ..PHONE
};

/// An open browser.
pub struct Browser {
    client: Option<Client>,
    runtime: Runtime,
    driver: Driver,
    /// Settings and caches of this browser alone.
    _profile: TempDir,
}

impl Browser {
    /// Opens a browser as this reader has it; none where no browser can be driven, unless one must be
    /// there.
    pub fn try_open(reader: Reader) -> Option<Browser> {
        is_here("chromedriver").then(|| Browser::open(reader))
    }

    /// Opens a browser as this reader has it.
    fn open(reader: Reader) -> Browser {
        let driver = Driver::start();
        let profile = TempDir::new().expect("a temporary folder");
        let mut browser = Browser {
            client: None,
            runtime: Runtime::new().expect("a runtime"),
            driver,
            _profile: profile,
        };
        let capabilities = capabilities(reader, browser._profile.path());
        let address = format!("http://127.0.0.1:{}", browser.driver.port);
        let client = browser.wait(async {
            let mut builder = ClientBuilder::new(HttpConnector::new());
            builder.capabilities(capabilities).connect(&address).await
        });
        browser.client = Some(client);
        browser
    }

    fn client(&self) -> &Client {
        self.client.as_ref().expect("an open browser")
    }

    /// What comes of a request, in time.
    fn wait<T, E: std::fmt::Debug>(&self, request: impl Future<Output = Result<T, E>>) -> T {
        self.runtime
            .block_on(async { tokio::time::timeout(LIMIT, request).await })
            .expect("the browser answers in time")
            .expect("the browser does what it is asked")
    }

    /// Opens an address.
    pub fn go(&self, address: &str) {
        self.wait(self.client().goto(address));
    }

    /// Opens a file from disk, at a place of the page or at its top.
    pub fn go_to_file(&self, file: &Path, place: &str) {
        self.go(&format!("file://{}{place}", file.display()));
    }

    /// Runs a script as the body of a function in the page, with these arguments.
    pub fn script(&self, body: &str, arguments: Vec<Value>) -> Value {
        self.wait(self.client().execute(body, arguments))
    }

    fn element(&self, selector: &str) -> Element {
        self.wait(async {
            let wait = self.client().wait().at_most(LIMIT);
            wait.for_element(Locator::Css(selector)).await
        })
    }

    /// Types keys into an element.
    pub fn type_into(&self, selector: &str, keys: &str) {
        let element = self.element(selector);
        self.wait(element.send_keys(keys));
    }

    /// Clicks an element.
    pub fn click(&self, selector: &str) {
        let element = self.element(selector);
        self.wait(element.click());
    }

    /// Clicks an element that leads to another page, and waits until the old page is gone.
    pub fn follow(&self, selector: &str) {
        let old = self.element("html");
        self.click(selector);
        let since = std::time::Instant::now();
        let is_there = || self.runtime.block_on(old.tag_name()).is_ok();
        while is_there() {
            assert!(since.elapsed() < LIMIT, "{selector} leads nowhere");
            thread::sleep(Duration::from_millis(20));
        }
    }

    /// The text of an element as it is rendered.
    pub fn text(&self, selector: &str) -> String {
        let element = self.element(selector);
        self.wait(element.text())
    }

    /// Whether there is such an element.
    pub fn has(&self, selector: &str) -> bool {
        let found = self.wait(self.client().find_all(Locator::Css(selector)));
        !found.is_empty()
    }

    /// What stands in a field.
    pub fn value(&self, selector: &str) -> String {
        let element = self.element(selector);
        self.wait(element.prop("value")).unwrap_or_default()
    }

    /// Puts other keys into a field.
    pub fn replace(&self, selector: &str, keys: &str) {
        let element = self.element(selector);
        self.wait(element.clear());
        self.wait(element.send_keys(keys));
    }

    /// Where it is.
    pub fn address(&self) -> String {
        self.wait(self.client().current_url()).to_string()
    }

    /// Whether the page has to be moved sideways to be read.
    pub fn is_wider_than_its_window(&self) -> bool {
        let wider =
            "const page = document.documentElement; return page.scrollWidth > page.clientWidth;";
        self.script(wider, Vec::new()) == Value::Bool(true)
    }

    /// Runs a script that hands its result to its last argument.
    pub fn script_then(&self, body: &str, arguments: Vec<Value>) -> Value {
        self.wait(self.client().execute_async(body, arguments))
    }

    /// Waits until the page's own script has made something under this name.
    pub fn waits_for(&self, name: &str) {
        let body = "const [name, done] = arguments; const look = () => \
            name in globalThis ? done(true) : setTimeout(look, 20); look();";
        self.script_then(body, vec![name.into()]);
    }

    /// Whether an element is to be seen.
    pub fn shows(&self, selector: &str) -> bool {
        let element = self.element(selector);
        self.wait(element.is_displayed())
    }

    /// Keeps a picture of what is seen.
    pub fn screenshot(&self, file: &Path) {
        let picture = self.wait(self.client().screenshot());
        std::fs::write(file, picture).expect("a written picture");
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if let Some(client) = self.client.take() {
            // The driver ends what does not close by itself.
            let closing = async { tokio::time::timeout(CLOSING, client.close()).await };
            let _ = self.runtime.block_on(closing);
        }
    }
}

/// The general checker of accessibility, axe-core, as .ci/setup fetches it; none where it is not, unless
/// it must be there.
pub fn accessibility_checker() -> Option<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/axe-core/package/axe.min.js");
    match std::fs::read_to_string(&path) {
        Ok(text) => Some(text),
        Err(error) => {
            skipped(&format!("{}: {error}", path.display()));
            None
        }
    }
}

/// Whether a program can be started here.
fn is_here(program: &str) -> bool {
    let asked = Command::new(program)
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    match asked {
        Ok(_) => true,
        Err(error) => {
            skipped(&format!("{program}: {error}"));
            false
        }
    }
}

/// A test that needs a browser passes over a machine that has none, and says so; where
/// `WHYTRIP_BROWSER_TESTS=must` is set, as in .ci/run, it fails.
fn skipped(reason: &str) {
    let must = std::env::var("WHYTRIP_BROWSER_TESTS").is_ok_and(|value| value == "must");
    assert!(!must, "{reason}; .ci/setup installs it");
    eprintln!("passed over: {reason}");
}

/// The driver, and with it the browser: one group of processes, which ends as a whole.
struct Driver {
    process: Child,
    port: u16,
}

impl Driver {
    fn start() -> Driver {
        let mut process = Command::new("chromedriver")
            .arg("--port=0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .process_group(0)
            .spawn()
            .expect("chromedriver starts; .ci/setup installs it");
        let lines = BufReader::new(process.stdout.take().expect("its output")).lines();
        let (told, port) = mpsc::channel();
        // The thread reads on until the driver ends, so that the driver never waits for a reader.
        thread::spawn(move || {
            for line in lines.map_while(Result::ok) {
                if let Some((_, port)) = line.split_once("successfully on port ") {
                    let _ = told.send(port.trim_end_matches('.').parse());
                }
            }
        });
        let mut driver = Driver { process, port: 0 };
        let port = port.recv_timeout(LIMIT).expect("the driver tells its port");
        driver.port = port.expect("a port");
        driver
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let group = format!("-{}", self.process.id());
        let _ = Command::new("kill").args(["-KILL", "--", &group]).status();
        let _ = self.process.wait();
    }
}

fn capabilities(reader: Reader, profile: &Path) -> Capabilities {
    let (width, height) = reader.size;
    let mut arguments = vec![
        "--headless=new".to_owned(),
        "--no-sandbox".to_owned(),
        "--disable-gpu".to_owned(),
        "--disable-dev-shm-usage".to_owned(),
        "--disable-background-networking".to_owned(),
        "--no-first-run".to_owned(),
        format!("--user-data-dir={}", profile.display()),
    ];
    let scheme = if reader.dark { 0 } else { 1 };
    arguments.push(format!("--blink-settings=preferredColorScheme={scheme}"));
    let scripts = if reader.script { 1 } else { 2 };
    let options = json!({
        "args": arguments,
        "mobileEmulation": {"deviceMetrics": {
            "width": width, "height": height, "pixelRatio": 1.0, "touch": false, "mobile": width < 600,
        }},
        "prefs": {"profile.default_content_setting_values.javascript": scripts},
    });
    let timeouts =
        json!({"pageLoad": LIMIT.as_millis() as u64, "script": LIMIT.as_millis() as u64});
    [
        ("goog:chromeOptions".to_owned(), options),
        ("timeouts".to_owned(), timeouts),
    ]
    .into_iter()
    .collect()
}
