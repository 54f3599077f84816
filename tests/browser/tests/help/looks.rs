//! A page for everyone: the accessibility checker, nothing too wide or too
//! small to tap, keys only.
#![allow(dead_code, reason = "each test file uses its own part of it")]

use super::help::settle;
use browser_tests::{Outcome, Page, json};

/// Controls that a finger has to hit and that are smaller than 44 pixels: what
/// they are called and how large they are. Links inside a sentence are not for
/// fingers only, and unseen file inputs are tapped by their buttons.
const SMALL: &str = "
    const small = [];
    for (const e of document.querySelectorAll('main button, main select, main input, main textarea, main summary, main a')) {
        if (e.closest('label, .unseen') || e.matches('.unseen, [type=file]')) continue;
        if (e.tagName === 'A' && e.closest('p, li.join, h2')) continue;
        const box = e.getBoundingClientRect();
        if (box.width && (box.height < 43.5 || box.width < 43.5)) {
            small.push(`${e.innerText || e.name} ${Math.round(box.width)} x ${Math.round(box.height)}`);
        }
    }
    return small";

/// Opens everything that is folded.
pub async fn unfold_all(page: &Page) -> Outcome {
    page.run(
        "document.querySelectorAll('main details').forEach((d) => { d.open = true })",
        &[],
    )
    .await?;
    settle(page).await
}

/// Nothing is wider than the screen.
pub async fn fits(page: &Page, what: &str) -> Outcome {
    let wide = "const edge = document.documentElement.clientWidth + 0.5;
        return [...document.querySelectorAll('main *')]
            .filter((e) => e.getBoundingClientRect().right > edge && !e.closest('.unseen'))
            .map((e) => `${e.tagName}.${e.className} ${e.innerText}`.slice(0, 80))";
    let over = page.overhang().await?;
    let wide = page.run(wide, &[]).await?;
    anyhow::ensure!(over == 0, "{what} hangs over by {over}: {wide:#}");
    Ok(())
}

/// Looks at the page as it is: nothing to complain of, nothing too wide, nothing
/// too small.
pub async fn fine(page: &Page, what: &str) -> Outcome {
    unfold_all(page).await?;
    let found = page.accessibility().await?;
    anyhow::ensure!(found.is_empty(), "{what}: {found:#?}");
    fits(page, what).await?;
    let small = page.run(SMALL, &[]).await?;
    anyhow::ensure!(small == json!([]), "{what}: too small to tap: {small}");
    Ok(())
}

/// Presses keys where the focus is.
pub async fn key(page: &Page, keys: &str) -> Outcome {
    Ok(page
        .driver()
        .active_element()
        .await?
        .send_keys(keys)
        .await?)
}

/// Presses a key so often until the focus is on what has these words.
pub async fn tab_to(page: &Page, words: &str) -> Outcome {
    let here = "const e = document.activeElement;
        return (e.innerText && !e.matches('select') && e.innerText
            || [...(e.labels ?? [])].map((l) => l.innerText).join(' ')
            || e.getAttribute('aria-label') || '').trim()";
    for _ in 0..90 {
        key(page, "\u{e004}").await?;
        let found = page.run(here, &[]).await?;
        if found.as_str().is_some_and(|f| f.starts_with(words)) {
            return Ok(());
        }
    }
    anyhow::bail!("no number of tabs leads to {words:?}")
}

/// What is done on each page.
pub trait AsyncLook {
    /// Does it.
    fn look<'a>(
        &'a mut self,
        page: &'a Page,
        what: &'a str,
    ) -> std::pin::Pin<Box<dyn Future<Output = Outcome> + 'a>>;
}

impl<F: AsyncFnMut(&Page, &str) -> Outcome> AsyncLook for F {
    fn look<'a>(
        &'a mut self,
        page: &'a Page,
        what: &'a str,
    ) -> std::pin::Pin<Box<dyn Future<Output = Outcome> + 'a>> {
        Box::pin(self(page, what))
    }
}
