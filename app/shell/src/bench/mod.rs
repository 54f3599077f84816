//! The bench. Checklists and sums are not built yet; what the books say about
//! the service port is useful today.

use crate::app::App;
use crate::books::port;
use crate::platform::dom::Dom;
use crate::text;
use crate::widgets::bits::{bullets, icon, line, mark, section, tag, title};

/// The page.
pub fn page(app: App) -> Dom {
    let ports = move || {
        let mut out = Vec::new();
        for held in app.shelf.held.get() {
            if held.book.model.service_port.is_some() {
                out.push(line("h3", "", &held.book.model.name));
                if held.demo {
                    out.push(mark("warn", "info", text::DEMO));
                }
                out.push(port::view(&held.book.model));
            }
        }
        Dom::many(out)
    };
    let cautions = vec![
        bullets(text::PORT_CAUTIONS.iter().map(|c| (*c).to_owned())),
        line("p", "small", text::PORT_SOURCE),
    ];
    Dom::many(vec![
        title(text::BENCH_TITLE),
        tag(
            "p",
            "note",
            vec![icon("info"), line("span", "", text::BENCH_NOT_YET)],
        ),
        section(
            "port-cautions",
            "Before you connect to a service port",
            cautions,
        ),
        section("ports", "Service ports", vec![Dom::live(ports)]),
    ])
}
