//! The commands of the packager: `serve`, `site`, `suite`, `verify`,
//! `icons`. The aliases in `.cargo/config.toml` make them `cargo serve` and so on.

use packager::places::Places;
use packager::server::Server;
use packager::step::{failure, problem, say, step};
use packager::{icons, site, suite, verify};
use std::process::ExitCode;

const USAGE: &str = "\
cargo serve [--port N] [--built]  build the app and serve it on 127.0.0.1 (port 8080);
                                  --built serves the site as it was built last
cargo site                        build the app into target/site, ready for any static host
packager suite                    build the page of the store's tests into target/suite
cargo verify                      check everything: style, tests, build, budgets, browser
cargo icons                       draw the icons anew (needs chromium)";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match command(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            say(&failure(&error));
            ExitCode::FAILURE
        }
    }
}

fn command(arguments: &[String]) -> anyhow::Result<()> {
    let places = Places::here();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["serve", options @ ..] => serve(&places, options),
        ["site"] => site::build(&places).map(drop),
        ["suite"] => suite::build(&places).map(drop),
        ["verify"] => verify::run(&places),
        ["icons"] => step("Draw the icons", "their drawings changed", || {
            icons::draw(&places)
        }),
        _ => {
            say(USAGE);
            Err(problem(
                format!("there is no command `{}`", words.join(" ")),
                "use one of the commands above.",
            ))
        }
    }
}

fn serve(places: &Places, options: &[&str]) -> anyhow::Result<()> {
    let (port, built) = match options {
        [] => (8080, false),
        ["--built"] => (8080, true),
        ["--port", n] => (number(n)?, false),
        ["--port", n, "--built"] | ["--built", "--port", n] => (number(n)?, true),
        _ => {
            return Err(problem(
                format!("unknown options: {}", options.join(" ")),
                "cargo serve [--port N] [--built]",
            ));
        }
    };
    let folder = if built {
        places.site()
    } else {
        site::build(places)?
    };
    let server = Server::start(&folder, port)?;
    say(&format!(
        "\nFaultleaf is at {}\nEnd with Ctrl-C.",
        server.origin()
    ));
    server.wait();
    Ok(())
}

fn number(text: &str) -> anyhow::Result<u16> {
    text.parse().map_err(|_| {
        problem(
            format!("{text} is no port"),
            "give a number from 1024 to 65535.",
        )
    })
}
