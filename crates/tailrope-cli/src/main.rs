//! The command `tailrope`: reads files and the clock, hands both to the library, prints what it says.
#![allow(clippy::result_large_err)] // a refusal ends the program: its size costs nothing

mod answer;
mod args;
mod conditions;
mod desk;
#[allow(dead_code)] // until the first verb draws
mod drawn;
mod input;
mod layout;
mod output;
mod packs;
mod verb;
mod when;
mod word;
mod write;

use std::process::ExitCode;

fn main() -> ExitCode {
    answer::print(args::read(std::env::args_os()).and_then(|(cli, json)| {
        let answer = cli
            .common
            .fits(&cli.verb)
            .and_then(|()| desk::Desk::new(&cli.common))
            .and_then(|desk| cli.verb.run(&desk));
        answer.map(|a| (a, json)).map_err(|f| (f, json))
    }))
}
