//! The page of the app: `public/index.html` with the head that the packager
//! adds, and every address replaced by the one the file is served under.

use crate::headers::POLICY;
use crate::step::problem;
use std::collections::BTreeMap;

/// Puts the page together. `renames` leads from names in the sources to
/// addresses on the site.
///
/// # Errors
/// When the page has no head, or names a file that the site lacks.
pub fn write(
    page: &str,
    head: &str,
    build: &str,
    renames: &BTreeMap<String, String>,
) -> anyhow::Result<String> {
    let head = head
        .replace("{{policy}}", POLICY)
        .replace("{{build}}", build);
    let Some((before, after)) = page.split_once("</head>") else {
        return Err(problem(
            "public/index.html has no </head>",
            "give the page a head; the packager fills it.",
        ));
    };
    // The policy must come before anything that it is to hold for.
    let (open, rest) = match before.split_once("<meta charset=\"utf-8\">") {
        Some((open, rest)) => (format!("{open}<meta charset=\"utf-8\">\n"), rest.to_owned()),
        None => (before.to_owned(), String::new()),
    };
    point_at_files(
        &format!("{open}{}{rest}</head>{after}", comments_removed(&head)),
        renames,
    )
}

/// Replaces the values of `href` and `src` that name a file.
fn point_at_files(page: &str, renames: &BTreeMap<String, String>) -> anyhow::Result<String> {
    let mut out = String::with_capacity(page.len());
    let mut rest = page;
    while let Some(at) = next_address(rest) {
        let (before, after) = rest.split_at(at);
        let (address, after) = after.split_once('"').unwrap_or((after, ""));
        out.push_str(before);
        match renames.get(address) {
            Some(renamed) => out.push_str(renamed),
            None if names_a_file(address) => {
                return Err(problem(
                    format!("the page names {address}, but the site has no such file"),
                    "correct the address in public/index.html or pkg-config/template/head.html.",
                ));
            }
            None => out.push_str(address),
        }
        out.push('"');
        rest = after;
    }
    out.push_str(rest);
    Ok(out)
}

/// Where the value of the next `href` or `src` begins.
fn next_address(text: &str) -> Option<usize> {
    let starts = [" href=\"", " src=\""].map(|name| text.find(name).map(|at| at + name.len()));
    starts.into_iter().flatten().min()
}

fn names_a_file(address: &str) -> bool {
    address.starts_with('/')
        && address
            .rsplit('/')
            .next()
            .is_some_and(|last| last.contains('.'))
}

fn comments_removed(html: &str) -> String {
    let mut out = String::new();
    let mut rest = html;
    while let Some((before, after)) = rest.split_once("<!--") {
        out.push_str(before);
        rest = after.split_once("-->").map_or("", |(_, after)| after);
    }
    out.push_str(rest);
    let lines = out.lines().filter(|line| !line.trim().is_empty());
    lines.flat_map(|line| [line, "\n"]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str =
        "<head><meta charset=\"utf-8\"><title>x</title></head><body><a href=\"/read\">r</a></body>";

    fn renames() -> BTreeMap<String, String> {
        [("/app.js".to_owned(), "/assets/app.0123456789.js".to_owned())].into()
    }

    #[test]
    fn the_head_comes_first_and_addresses_are_replaced() {
        let head = "<!-- why -->\n<meta content=\"{{policy}}\">\n<script src=\"/app.js\"></script>{{build}}";
        let page = write(PAGE, head, "b1", &renames()).unwrap();
        assert!(
            page.contains("<script src=\"/assets/app.0123456789.js\"></script>b1"),
            "{page}"
        );
        assert!(page.find("default-src").unwrap() < page.find("<title>").unwrap());
        assert!(
            page.contains("<a href=\"/read\">") && !page.contains("why"),
            "{page}"
        );
    }

    #[test]
    fn a_missing_file_is_an_error_and_a_place_in_the_app_is_none() {
        let error = write(PAGE, "<link href=\"/gone.css\">", "", &renames()).unwrap_err();
        assert!(error.to_string().contains("/gone.css"), "{error}");
        assert!(write("<body></body>", "", "", &renames()).is_err());
    }

    #[test]
    fn other_sites_and_fragments_are_left_alone() {
        let page = "<use href=\"#i-read\"></use><a href=\"mailto:a.b\">";
        assert_eq!(point_at_files(page, &renames()).unwrap(), page);
    }
}
