//! A running `whytrip serve` and a browser of the simplest kind: sockets, headers, cookies, forms.
#![allow(
    dead_code,
    reason = "each file of tests uses a part, and all of them use the whole"
)]

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Nothing here waits longer.
const PATIENCE: Duration = Duration::from_secs(60);

/// A server that is killed when the test ends.
pub struct Serving {
    child: Child,
    /// Where it listens.
    pub address: SocketAddr,
    /// What it printed before it served.
    pub printed: String,
}

impl Serving {
    /// Starts the server over a data folder on a free port.
    pub fn start(data: &Path, options: &[&str]) -> Serving {
        let mut child = Command::new(env!("CARGO_BIN_EXE_whytrip"))
            .arg("--data")
            .arg(data)
            .args(["--no-input", "serve", "--port", "0"])
            .args(options)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let mut printed = String::new();
        let mut address = None;
        for line in lines.by_ref() {
            let line = line.expect("a line");
            if let Some((_, rest)) = line.split_once("://") {
                address = rest.trim_end_matches('/').parse().ok().or(address);
            }
            printed.push_str(&line);
            printed.push('\n');
            if line.starts_with("Ctrl-C") {
                break;
            }
        }
        Serving {
            child,
            address: address.unwrap_or_else(|| panic!("no address in:\n{printed}")),
            printed,
        }
    }

    /// Tells it to stop, as a service manager does, and says how it ended.
    pub fn stop(mut self) -> std::process::ExitStatus {
        let told = Command::new("kill")
            .arg(self.child.id().to_string())
            .status();
        assert!(told.expect("kill is there").success());
        let since = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().expect("a child") {
                return status;
            }
            assert!(since.elapsed() < PATIENCE, "it does not stop");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Peak memory in megabytes, where the system tells it.
    pub fn peak_megabytes(&self) -> Option<f64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status
            .lines()
            .find_map(|line| line.strip_prefix("VmHWM:"))?;
        let kilobytes: f64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
        Some(kilobytes / 1024.0)
    }

    /// A browser without cookies.
    pub fn browser(&self) -> Browser {
        Browser {
            address: self.address,
            cookies: BTreeMap::new(),
        }
    }

    /// Sends bytes as they are and reads until the server closes or nothing comes any more.
    pub fn raw(&self, bytes: &[u8]) -> String {
        let mut stream = connect(self.address).expect("a connection");
        // The server may refuse before everything was sent.
        let _ = stream.write_all(bytes);
        stream
            .set_read_timeout(Some(Duration::from_millis(1500)))
            .expect("a time limit");
        let mut answer = Vec::new();
        let mut part = [0; 4096];
        while let Ok(count) = stream.read(&mut part) {
            if count == 0 {
                break;
            }
            answer.extend_from_slice(&part[..count]);
        }
        String::from_utf8_lossy(&answer).into_owned()
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn connect(address: SocketAddr) -> std::io::Result<TcpStream> {
    let stream = TcpStream::connect_timeout(&address, PATIENCE)?;
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    Ok(stream)
}

/// Asks like a browser: keeps cookies, does not follow by itself.
#[derive(Clone)]
pub struct Browser {
    address: SocketAddr,
    cookies: BTreeMap<String, String>,
}

/// What came back.
pub struct Answer {
    /// The status.
    pub status: u16,
    /// The headers, names in small letters.
    pub headers: Vec<(String, String)>,
    /// The text.
    pub body: String,
}

impl Answer {
    /// The first header of this name.
    pub fn header(&self, name: &str) -> Option<&str> {
        let mut headers = self.headers.iter();
        headers
            .find(|(known, _)| known == name)
            .map(|(_, value)| value.as_str())
    }

    /// Fails with the page unless it has this status.
    pub fn ended(self, status: u16) -> Answer {
        assert_eq!(self.status, status, "{}", self.body);
        self
    }

    /// Fails with the page unless it says this.
    pub fn says(self, text: &str) -> Answer {
        assert!(self.body.contains(text), "no \"{text}\" in:\n{}", self.body);
        self
    }
}

impl Browser {
    /// Loads a page.
    pub fn get(&mut self, path: &str) -> Answer {
        self.ask("GET", path, &[], "")
    }

    /// Sends a form.
    pub fn post(&mut self, path: &str, form: &[(&str, &str)]) -> Answer {
        self.ask("POST", path, &[], &written(form))
    }

    /// Sends a form with more headers.
    pub fn post_with(
        &mut self,
        path: &str,
        form: &[(&str, &str)],
        more: &[(&str, &str)],
    ) -> Answer {
        self.ask("POST", path, more, &written(form))
    }

    fn ask(&mut self, method: &str, path: &str, more: &[(&str, &str)], body: &str) -> Answer {
        self.try_ask(method, path, more, body).expect("an answer")
    }

    /// Asks a server that may be stopping.
    pub fn try_ask(
        &mut self,
        method: &str,
        path: &str,
        more: &[(&str, &str)],
        body: &str,
    ) -> std::io::Result<Answer> {
        let mut head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n",
            self.address
        );
        let cookies: Vec<String> = self
            .cookies
            .iter()
            .map(|(name, value)| format!("{name}={value}"))
            .collect();
        if !cookies.is_empty() {
            head.push_str(&format!("Cookie: {}\r\n", cookies.join("; ")));
        }
        for (name, value) in more {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        if method == "POST" {
            head.push_str(&format!(
                "Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n",
                body.len()
            ));
        }
        let mut stream = connect(self.address)?;
        stream.write_all(format!("{head}\r\n{body}").as_bytes())?;
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes)?;
        let answer = read(&bytes).ok_or(std::io::ErrorKind::UnexpectedEof)?;
        for (name, value) in &answer.headers {
            if name == "set-cookie"
                && let Some((name, value)) = value
                    .split(';')
                    .next()
                    .and_then(|pair| pair.split_once('='))
            {
                self.cookies.insert(name.to_owned(), value.to_owned());
            }
        }
        Ok(answer)
    }
}

fn read(bytes: &[u8]) -> Option<Answer> {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let mut lines = head.lines();
    let status = lines
        .next()
        .and_then(|line| line.split(' ').nth(1))
        .and_then(|code| code.parse().ok())?;
    let headers = lines
        .filter_map(|line| line.split_once(':'))
        .map(|(name, value)| (name.to_ascii_lowercase(), value.trim().to_owned()))
        .collect();
    Some(Answer {
        status,
        headers,
        body: body.to_owned(),
    })
}

/// A form as it is sent.
pub fn written(form: &[(&str, &str)]) -> String {
    form_urlencoded::Serializer::new(String::new())
        .extend_pairs(form)
        .finish()
}

/// The value of a hidden field of a page.
pub fn hidden<'p>(page: &'p str, name: &str) -> &'p str {
    let start = format!("name=\"{name}\" value=\"");
    let (_, rest) = page
        .split_once(&start)
        .unwrap_or_else(|| panic!("no field {name} in:\n{page}"));
    rest.split('"').next().unwrap_or("")
}

/// Every value of an attribute in a page, as the browser takes it.
pub fn attributes(page: &str, name: &str) -> Vec<String> {
    let start = format!(" {name}=\"");
    page.split(&start)
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .map(|value| {
            value
                .replace("&amp;", "&")
                .replace("&quot;", "\"")
                .replace("&#39;", "'")
        })
        .collect()
}
