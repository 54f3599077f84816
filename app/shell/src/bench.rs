//! The bench. Checklists and sums are not built yet; what the books say about
//! the service port is useful today.

use crate::app::App;
use crate::books::port;
use crate::text;
use crate::widgets::bits::{bullets, icon, line, tag};
use leptos::prelude::*;

/// The page.
pub fn page(app: App) -> AnyView {
    let ports = move || {
        let mut out = Vec::new();
        for held in app.shelf.held.get() {
            if held.book.model.service_port.is_some() {
                out.push(line("h3", "", held.book.model.name.clone()));
                if held.demo {
                    out.push(tag("p", "mark warn", vec![icon("info"), line("span", "", text::DEMO)]));
                }
                out.push(port::view(&held.book.model));
            }
        }
        out
    };
    view! {
        <h1 tabindex="-1">{text::BENCH_TITLE}</h1>
        <p class="note">{icon("info")}<span>{text::BENCH_NOT_YET}</span></p>
        <section aria-labelledby="port-cautions">
            <h2 id="port-cautions">"Before you connect to a service port"</h2>
            {bullets(text::PORT_CAUTIONS.iter().map(|c| (*c).to_owned()))}
            <p class="small">{text::PORT_SOURCE}</p>
        </section>
        <section aria-labelledby="ports">
            <h2 id="ports">"Service ports"</h2>
            {ports}
        </section>
    }
    .into_any()
}
