//! A page as a person uses it: open, look, tap, type.

use crate::driver::Home;
use crate::wait::until;
use anyhow::Context;
use packager::server::Server;
use serde_json::{Value, json};
use thirtyfour::{By, WebDriver, WebElement};

const FIND: &str = include_str!("find.js");

/// The browser with the app, and the server it came from.
pub struct Page {
    pub(crate) driver: WebDriver,
    server: Server,
    pub(crate) home: Home,
}

impl Page {
    pub(crate) fn new(driver: WebDriver, server: Server, home: Home) -> Self {
        Self {
            driver,
            server,
            home,
        }
    }

    /// The server, to stop it, to switch the site, or to see what was asked.
    pub fn server(&mut self) -> &mut Server {
        &mut self.server
    }

    /// The browser itself, for what isn't here.
    pub fn driver(&self) -> &WebDriver {
        &self.driver
    }

    /// Opens an address of the app, such as `/read`, and waits for the app.
    ///
    /// # Errors
    /// When the app doesn't start.
    pub async fn open(&self, path: &str) -> anyhow::Result<()> {
        self.go(path).await?;
        self.started().await
    }

    /// Opens an address and waits for nothing.
    ///
    /// # Errors
    /// When the browser can't open it.
    pub async fn go(&self, path: &str) -> anyhow::Result<()> {
        let address = format!("{}{path}", self.server.origin());
        self.driver
            .goto(&address)
            .await
            .with_context(|| format!("can't open {path}"))
    }

    /// Loads the page again and waits for the app.
    ///
    /// # Errors
    /// When the app doesn't start.
    pub async fn reload(&self) -> anyhow::Result<()> {
        self.driver.refresh().await?;
        self.started().await
    }

    /// Waits until the program has taken the place of the first picture.
    ///
    /// # Errors
    /// When it doesn't in time.
    pub async fn started(&self) -> anyhow::Result<()> {
        let ready =
            "return !!document.querySelector('#app h1') && !document.querySelector('#wait')";
        self.wait_true("the app to start", ready).await
    }

    /// Waits until a script gives `true`.
    ///
    /// # Errors
    /// When it doesn't in time; `what` completes "waited in vain for".
    pub async fn wait_true(&self, what: &str, script: &str) -> anyhow::Result<()> {
        until(what, async || {
            Ok((self.run(script, &[]).await? == Value::Bool(true)).then_some(()))
        })
        .await
    }

    /// Runs a script in the page and gives what it returns.
    ///
    /// # Errors
    /// When it throws.
    pub async fn run(&self, script: &str, arguments: &[Value]) -> anyhow::Result<Value> {
        Ok(self
            .driver
            .execute(script, arguments.to_vec())
            .await?
            .json()
            .clone())
    }

    /// Everything readable on the page.
    ///
    /// # Errors
    /// When the page is gone.
    pub async fn text(&self) -> anyhow::Result<String> {
        let text = self.run("return document.body.innerText", &[]).await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }

    /// Waits until this text can be read on the page.
    ///
    /// # Errors
    /// When it can't in time.
    pub async fn sees(&self, text: &str) -> anyhow::Result<()> {
        let what = format!("the text {text:?}");
        until(&what, async || {
            Ok(self.text().await?.contains(text).then_some(()))
        })
        .await
    }

    /// Waits until this text is gone.
    ///
    /// # Errors
    /// When it stays.
    pub async fn sees_no(&self, text: &str) -> anyhow::Result<()> {
        let what = format!("the text {text:?} to go");
        until(&what, async || {
            Ok((!self.text().await?.contains(text)).then_some(()))
        })
        .await
    }

    /// Waits for what has this role and name: `button` and `Paste`. An exact
    /// name wins, else one that contains it.
    ///
    /// # Errors
    /// When there is none in time.
    pub async fn find(&self, role: &str, name: &str) -> anyhow::Result<WebElement> {
        let what = format!("a {role} called {name:?}");
        until(&what, async || {
            let found = self
                .driver
                .execute(FIND, vec![json!(role), json!(name)])
                .await?;
            Ok(if found.json().is_null() {
                None
            } else {
                Some(found.element()?)
            })
        })
        .await
    }

    /// Taps what has this role and name.
    ///
    /// # Errors
    /// When it isn't there, or something lies over it.
    pub async fn tap(&self, role: &str, name: &str) -> anyhow::Result<()> {
        let what = format!("being able to tap the {role} {name:?}");
        until(&what, async || {
            self.find(role, name).await?.click().await?;
            Ok(Some(()))
        })
        .await
    }

    /// Types into the field with this label, after what is there.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn type_into(&self, label: &str, text: &str) -> anyhow::Result<()> {
        Ok(self.find("textbox", label).await?.send_keys(text).await?)
    }

    /// Puts text into a field at once, as a paste does, line breaks and all.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn paste_into(&self, label: &str, text: &str) -> anyhow::Result<()> {
        let field = self.find("textbox", label).await?;
        field.focus().await?;
        self.driver
            .cdp()
            .send_raw("Input.insertText", json!({ "text": text }))
            .await?;
        Ok(())
    }

    /// Gives a file to the file input that fits the selector.
    ///
    /// # Errors
    /// When there is no such input.
    pub async fn choose_file(&self, selector: &str, file: &std::path::Path) -> anyhow::Result<()> {
        let input = self.driver.find(By::Css(selector)).await?;
        Ok(input.send_keys(file.display().to_string()).await?)
    }
}
