//! What a verb gives back, and how it leaves the program: text or JSON, and an exit code.

use serde::Serialize;
use std::io::{self, IsTerminal as _, Write};
use std::process::ExitCode;
use tailrope::Error;
use tailrope::outing::Verdict;
use tailrope::outing::text::wrap;

/// How it ended, as an exit code says it. A contract: scripts rely on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Exit {
    /// *Go*, or done.
    Done = 0,
    /// *Caution*.
    Caution = 1,
    /// *Stop*.
    Stop = 2,
    /// Bad input or use.
    Input = 3,
    /// The machine failed: disk, permission, output.
    Machine = 4,
}

impl From<Verdict> for Exit {
    fn from(v: Verdict) -> Self {
        match v {
            Verdict::Go => Self::Done,
            Verdict::Caution => Self::Caution,
            Verdict::Stop => Self::Stop,
        }
    }
}

/// What a verb answers, in both forms.
#[derive(Debug)]
pub struct Answer {
    exit: Exit,
    text: String,
    json: String,
}

impl Answer {
    /// An answer without a verdict: single models exit 0 whatever they find.
    pub fn new(text: String, json: &impl Serialize) -> Result<Self, Failure> {
        let json = serde_json::to_string_pretty(json)
            .map_err(|e| Failure::machine("the answer", &format!("it does not go into JSON ({e})")))?;
        Ok(Self { exit: Exit::Done, text, json: json + "\n" })
    }

    /// An answer whose JSON the library wrote.
    pub fn of_json(text: String, json: String) -> Self {
        Self { exit: Exit::Done, text, json: json + "\n" }
    }

    /// The same with a verdict.
    pub fn with_exit(mut self, exit: Exit) -> Self {
        self.exit = exit;
        self
    }
}

/// Why there is no answer.
#[derive(Debug)]
pub enum Failure {
    /// Bad input or use.
    Input(Error),
    /// The machine failed.
    Machine(Error),
    /// Help or version was asked for; no failure at all.
    Help(String),
    /// Bad use, in the words of the argument parser.
    Use {
        /// All of it, with the usage line, for a person.
        text: String,
        /// Its parts, for a program.
        error: Error,
    },
}

impl Failure {
    /// The machine failed at `place`.
    pub fn machine(place: &str, what: &str) -> Self {
        Self::Machine(
            Error::new(what, "", "check the disk and the permissions, then try again").within(place),
        )
    }

    fn exit(&self) -> Exit {
        match self {
            Self::Help(_) => Exit::Done,
            Self::Input(_) | Self::Use { .. } => Exit::Input,
            Self::Machine(_) => Exit::Machine,
        }
    }
}

impl From<Error> for Failure {
    fn from(e: Error) -> Self {
        Self::Input(e)
    }
}

#[derive(Serialize)]
struct ErrorJson<'a> {
    schema: &'static str,
    #[serde(flatten)]
    error: &'a Error,
}

fn in_json(error: &Error) -> String {
    let whole = ErrorJson { schema: "tailrope.error/1", error };
    serde_json::to_string(&whole).unwrap_or_else(|_| error.to_string()) + "\n"
}

/// Columns of a refusal: those of the terminal behind standard error, at most 100; 100 where nobody looks.
fn error_width() -> usize {
    const MOST: usize = 100;
    if !io::stderr().is_terminal() {
        return MOST;
    }
    terminal_size::terminal_size_of(io::stderr()).map_or(MOST, |(w, _)| usize::from(w.0)).clamp(40, MOST)
}

/// Prints an answer on standard output or a failure on standard error, and gives the exit code.
pub fn print(result: Result<(Answer, bool), (Failure, bool)>) -> ExitCode {
    let (exit, out, text) = match result {
        Ok((a, true)) => (a.exit, true, a.json),
        Ok((a, false)) => (a.exit, true, a.text),
        Err((Failure::Help(text), _)) => (Exit::Done, true, text),
        Err((f, json)) => {
            let text = match (&f, json) {
                (Failure::Use { error, .. } | Failure::Input(error) | Failure::Machine(error), true) => {
                    in_json(error)
                }
                (Failure::Use { text, .. } | Failure::Help(text), _) => text.clone(),
                (Failure::Input(error) | Failure::Machine(error), false) => {
                    wrap(&format!("error: {error}"), error_width(), "")
                }
            };
            (f.exit(), false, text)
        }
    };
    let written = if out { write(io::stdout().lock(), &text) } else { write(io::stderr().lock(), &text) };
    match written {
        Ok(()) => ExitCode::from(exit as u8),
        // The reader had enough (`| head`): the answer stands.
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => ExitCode::from(exit as u8),
        Err(e) => {
            // Nothing is left to report to if this fails as well.
            let _ = writeln!(io::stderr(), "error: the answer could not be written ({e})");
            ExitCode::from(Exit::Machine as u8)
        }
    }
}

fn write(mut to: impl Write, text: &str) -> io::Result<()> {
    to.write_all(text.as_bytes())?;
    to.flush()
}
