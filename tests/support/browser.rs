//! A real browser on a real server: Chromium through its driver, one window a journey.

use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use thirtyfour::prelude::*;

/// How long a page may take.
const PATIENCE: Duration = Duration::from_secs(15);

/// A server that shows the sample catalogue, or a folder; it ends with the value.
pub struct Served {
    child: Child,
    /// Where it listens: `http://127.0.0.1:port`.
    pub url: String,
    _folder: tempfile::TempDir,
}

/// A browser with its driver; it ends with the value.
pub struct Browser {
    /// What the journeys drive.
    pub driver: WebDriver,
    child: Child,
    profile: tempfile::TempDir,
}

impl Served {
    /// Starts `program` on a free port with an empty folder for its data.
    pub fn start(program: &str, sample: bool) -> Self {
        let folder = tempfile::tempdir().expect("a folder for the data");
        let mut command = Command::new(program);
        command.args(["serve", "--listen", "127.0.0.1:0", "--data"]).arg(folder.path().join("data"));
        if sample {
            command.arg("--sample");
        }
        let mut child = command.stderr(Stdio::piped()).spawn().expect("the program under test starts");
        let url = first_address(child.stderr.take().expect("its words"));
        Self { child, url, _folder: folder }
    }
}

/// A language the browser that prints asks for.
pub type Tag = &'static str;

/// Prints a page as a browser's own dialogue would, on the sheet that the page asks for; its driver would not.
pub fn print(url: &str, pdf: &Path, language: Tag) {
    let profile = tempfile::tempdir().expect("a folder for the profile");
    let ran = Command::new("chromium")
        .args(["--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer"])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .args([format!("--lang={language}"), format!("--accept-lang={language}")])
        .arg(url)
        .output()
        .expect("chromium starts; tests/run installs it");
    assert!(ran.status.success() && pdf.exists(), "{}", String::from_utf8_lossy(&ran.stderr));
}

/// The address that the server names in its first words; the rest of them is read and dropped.
fn first_address(words: impl Read + Send + 'static) -> String {
    let mut lines = BufReader::new(words).lines();
    let said: String = lines.next().expect("a line").expect("words");
    let from = said.find("http://").expect("an address");
    let url = said[from..].split('/').take(3).collect::<Vec<_>>().join("/");
    std::thread::spawn(move || lines.for_each(drop));
    url
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Browser {
    /// Opens a window of this size.
    pub async fn open(width: u32, height: u32) -> Self {
        let mut child = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .spawn()
            .expect("chromedriver starts; tests/run installs it");
        let port = driver_port(child.stdout.take().expect("its words"));
        let profile = tempfile::tempdir().expect("a folder for the profile");
        let mut options = DesiredCapabilities::chrome();
        let flags = [
            "--headless".to_owned(),
            "--no-sandbox".to_owned(),
            "--disable-gpu".to_owned(),
            "--disable-quic".to_owned(),
            "--no-first-run".to_owned(),
            "--disable-background-networking".to_owned(),
            "--disable-component-update".to_owned(),
            "--disable-sync".to_owned(),
            format!("--window-size={width},{height}"),
            format!("--user-data-dir={}", profile.path().display()),
        ];
        for flag in flags {
            options.add_arg(&flag).expect("a flag");
        }
        let driver = WebDriver::new(format!("http://127.0.0.1:{port}"), options).await.expect("a window");
        Self { driver, child, profile }
    }

    /// Goes to an address.
    pub async fn go(&self, url: &str) {
        self.driver.goto(url).await.expect("the page opens");
    }

    /// The first thing found, as soon as the page holds it: a page may still be on its way after a press.
    async fn awaited(&self, by: By, what: &str) -> WebElement {
        let found = self.driver.query(by).wait(PATIENCE, Duration::from_millis(50)).first().await;
        found.unwrap_or_else(|_| panic!("the page does not hold “{what}”"))
    }

    /// The words of the page as soon as they hold one of these.
    pub async fn reads(&self, any: &[&str]) -> String {
        let until = Instant::now() + PATIENCE;
        loop {
            let words = self.words().await;
            if any.iter().any(|said| words.contains(said)) {
                return words;
            }
            assert!(Instant::now() < until, "the page says none of {any:?}: {words}");
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Waits until the address ends so.
    pub async fn at(&self, end: &str) {
        let until = Instant::now() + PATIENCE;
        loop {
            let url = self.driver.current_url().await.map_or_else(|_| String::new(), |url| url.to_string());
            if url.ends_with(end) {
                return;
            }
            assert!(Instant::now() < until, "{url} does not end in {end}");
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Follows the first link or presses the first button whose words contain these.
    pub async fn press(&self, words: &str) {
        let path =
            format!("//*[self::a or self::button or self::summary][contains(normalize-space(.), '{words}')]");
        self.pressed(By::XPath(path), words).await;
    }

    /// Follows the first link or presses the first button with just these words.
    pub async fn press_exactly(&self, words: &str) {
        let path = format!("//*[self::a or self::button][normalize-space(.)='{words}']");
        self.pressed(By::XPath(path), words).await;
    }

    /// Presses the first thing that a CSS selector finds.
    pub async fn press_at(&self, selector: &str) {
        self.pressed(By::Css(selector), selector).await;
    }

    /// Presses what is found. A page may be replaced between finding and reaching it: then it is looked for again, and
    /// nothing was pressed yet.
    async fn pressed(&self, by: By, called: &str) {
        let until = Instant::now() + PATIENCE;
        loop {
            let found = self.awaited(by.clone(), called).await;
            match found.scroll_into_view().await {
                Ok(()) => {
                    return found
                        .click()
                        .await
                        .unwrap_or_else(|e| panic!("“{called}” cannot be pressed: {e}"));
                }
                Err(fault) => assert!(Instant::now() < until, "“{called}” cannot be reached: {fault}"),
            }
        }
    }

    /// Types into a field by its name.
    pub async fn fill(&self, name: &str, text: &str) {
        let field = self.awaited(By::Css(format!("[name='{name}']")), name).await;
        field.send_keys(text).await.expect("it takes text");
    }

    /// Chooses a value: a radio button, a tick or an option.
    pub async fn choose(&self, name: &str, value: &str) {
        let selector =
            format!("input[name='{name}'][value='{value}'], select[name='{name}'] option[value='{value}']");
        self.awaited(By::Css(selector), name).await.click().await.expect("it can be chosen");
    }

    /// All words of the page.
    pub async fn words(&self) -> String {
        // Between two pages there may be no body, or one that is gone when it is asked.
        match self.driver.find(By::Tag("body")).await {
            Ok(body) => body.text().await.unwrap_or_default(),
            Err(_) => String::new(),
        }
    }

    /// The text of each thing that a selector finds.
    pub async fn texts(&self, selector: &str) -> Vec<String> {
        let mut texts = Vec::new();
        for found in self.driver.find_all(By::Css(selector)).await.expect("a search") {
            texts.push(found.text().await.expect("its words"));
        }
        texts
    }

    /// Keeps a picture under `target/pictures`, for whoever wants to see what the journey saw.
    pub async fn picture(&self, name: &str) {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../target/pictures");
        std::fs::create_dir_all(&folder).expect("a folder for pictures");
        self.driver.screenshot(&folder.join(format!("{name}.png"))).await.expect("a picture");
    }

    /// Closes the window and its driver.
    pub async fn close(self) {
        let _ = self.driver.clone().quit().await;
    }
}

/// A journey that fails leaves no driver and no browser behind.
impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        let ours = format!("user-data-dir={}", self.profile.path().display());
        let _ = Command::new("pkill").args(["-f", &ours]).status();
    }
}

fn driver_port(words: impl Read + Send + 'static) -> u16 {
    let mut lines = BufReader::new(words).lines().map_while(Result::ok);
    let port = lines
        .find_map(|line| {
            line.split("on port ").nth(1)?.trim_end_matches('.').parse().ok().filter(|port| *port > 0)
        })
        .expect("chromedriver names its port");
    std::thread::spawn(move || lines.for_each(drop));
    port
}
