//! Shows what is proposed for a file: `cargo run -p teaching --example teach -- log.txt`.
use teaching::{Hints, propose};

fn main() {
    let path = std::env::args().nth(1).unwrap_or_default();
    let text = std::fs::read(&path).unwrap_or_default();
    let text = String::from_utf8_lossy(&text);
    match propose(&text, &Hints::default()) {
        Err(why) => println!("{} {}", why.what, why.todo),
        Ok(p) => {
            println!(
                "{:?}  read {} of {}  record {:?} skip {}\n{}",
                p.kind, p.read, p.of, p.record, p.skip, p.example
            );
            for (i, x) in p.parts.iter().enumerate() {
                let ask = if p.ask == Some(i) { "*" } else { " " };
                println!(
                    "{ask}{:>3}-{:<3} {:<10} {:?} {} | {} | {}",
                    x.span.0, x.span.1, x.text, x.role, x.name, x.why, x.doubt
                );
            }
            println!(
                "check {:?}\nepoch {:?}",
                p.check,
                p.epoch.and_then(|e| p.times.get(e))
            );
            println!(
                "doubts {:?}\n{}",
                p.doubts,
                serde_json::to_string(&p.layout).unwrap_or_default()
            );
            for l in p.lines.iter().filter(|l| l.misses) {
                println!("missed {} {}", l.line, l.why);
            }
        }
    }
}
