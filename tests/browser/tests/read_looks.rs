//! A result for everyone: dark, with large text, for the accessibility checker.

mod help;

use browser_tests::{Outcome, Page};
use help::{desktop, phone, read_log, settle};

/// The colour behind the page, from 0 (black) to 255.
const PAPER: &str = "const c = getComputedStyle(document.documentElement).backgroundColor;
    const [r, g, b] = c.match(/[\\d.]+/g).map(Number);
    return (r + g + b) / 3";

async fn no_complaint(page: &Page, what: &str) -> Outcome {
    let found = page.accessibility().await?;
    anyhow::ensure!(found.is_empty(), "{what}: {found:#?}");
    Ok(())
}

async fn paper(page: &Page) -> anyhow::Result<f64> {
    Ok(page.run(PAPER, &[]).await?.as_f64().unwrap_or_default())
}

/// Sets the device's colours and waits until they have faded in.
async fn colours(page: &Page, theme: &str) -> Outcome {
    page.prefers("prefers-color-scheme", theme).await?;
    settle(page).await?;
    page.wait_true(
        "the colours",
        "return document.getAnimations().length === 0",
    )
    .await
}

async fn unfold(page: &Page) -> Outcome {
    page.run(
        "document.querySelectorAll('details').forEach((d) => { d.open = true })",
        &[],
    )
    .await?;
    settle(page).await
}

async fn light_and_dark(page: &mut Page, size: &str) -> Outcome {
    for number in ["04", "35", "48"] {
        read_log(page, number).await?;
        unfold(page).await?;
        for (theme, bright) in [("light", true), ("dark", false)] {
            colours(page, theme).await?;
            anyhow::ensure!(
                (paper(page).await? > 128.0) == bright,
                "{theme} is not {theme}"
            );
            page.shot(&format!("result-{size}-{theme}-{number}"))
                .await?;
            no_complaint(page, &format!("log {number}, {size}, {theme}")).await?;
            anyhow::ensure!(page.overhang().await? == 0, "log {number} hangs over");
        }
    }
    Ok(())
}

#[test]
fn a_result_on_a_phone_in_light_and_dark() {
    phone(async |page| light_and_dark(page, "phone").await);
}

#[test]
fn a_result_on_a_desktop_in_light_and_dark() {
    desktop(async |page| light_and_dark(page, "desktop").await);
}

#[test]
fn every_place_in_light_and_dark() {
    phone(async |page| {
        let places = [
            "/read",
            "/read?photo=1",
            "/consoles",
            "/books",
            "/books/larkfield-orrery",
            "/bench",
            "/about",
            "/nowhere",
        ];
        for path in places {
            page.open(path).await?;
            unfold(page).await?;
            for theme in ["light", "dark"] {
                colours(page, theme).await?;
                no_complaint(page, &format!("{path}, {theme}")).await?;
            }
            assert_eq!(page.overhang().await?, 0, "{path}");
        }
        Ok(())
    });
}

#[test]
fn the_chosen_colours_and_size_stay() {
    phone(async |page| {
        page.open("/about").await?;
        let choose = "const of = (name, n) => document.querySelectorAll(`input[name=${name}]`)[n];
            of('theme', 2).click();
            of('size', 3).click();";
        page.run(choose, &[]).await?;
        page.wait_true(
            "a dark page",
            &PAPER.replace("return (r + g + b) / 3", "return r + g + b < 384"),
        )
        .await?;
        page.reload().await?;
        assert!(paper(page).await? < 128.0, "the choice is lost");
        let large = "return document.documentElement.dataset.size === '3' && document.querySelectorAll('input[name=size]')[3].checked";
        assert_eq!(page.run(large, &[]).await?, true);
        assert_eq!(page.overhang().await?, 0);
        no_complaint(page, "dark and largest").await
    });
}

#[test]
fn a_result_with_text_at_twice_the_size() {
    phone(async |page| {
        for number in ["04", "11", "25", "48"] {
            read_log(page, number).await?;
            unfold(page).await?;
            page.text_size(2.0).await?;
            settle(page).await?;
            assert_eq!(page.overhang().await?, 0, "log {number}");
            page.shot(&format!("result-large-text-{number}")).await?;
            // Nothing of what can be tapped is out of reach at the side.
            let out = "return [...document.querySelectorAll('main button, main a, main input, main select, main summary')]
                .filter((e) => e.getClientRects().length && !e.closest('.unseen, ol.paste') && e.getBoundingClientRect().right > innerWidth + 1)
                .map((e) => e.outerHTML.slice(0, 120))";
            let out = help::texts(&page.run(out, &[]).await?);
            assert!(out.is_empty(), "log {number}: {out:#?}");
        }
        page.open("/read?photo=1").await?;
        page.text_size(2.0).await?;
        assert_eq!(page.overhang().await?, 0, "typing from a photo");
        Ok(())
    });
}
