//! The one builder of these tests: arguments and input in; output and exit code out.

use std::io::Write;
use std::process::{Command, Stdio};

/// A call of the command under test.
pub struct Run {
    command: Command,
    shown: String,
    stdin: String,
}

/// What came out.
pub struct Out {
    pub stdout: String,
    pub stderr: String,
    pub code: i32,
    shown: String,
}

/// `tailrope` with these arguments, separated by blanks.
pub fn tailrope(args: &str) -> Run {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tailrope"));
    // Nothing of the tester's own machine reaches a test.
    command.env_remove("TAILROPE_DATA").env_remove("COLUMNS").args(args.split_whitespace());
    Run { command, shown: format!("tailrope {args}"), stdin: String::new() }
}

impl Run {
    /// One more argument, blanks and all.
    pub fn arg(mut self, arg: impl AsRef<std::ffi::OsStr>) -> Self {
        self.shown = format!("{} '{}'", self.shown, arg.as_ref().display());
        self.command.arg(arg);
        self
    }
    /// More arguments, separated by blanks.
    pub fn args(mut self, args: &str) -> Self {
        self.shown = format!("{} {args}", self.shown);
        self.command.args(args.split_whitespace());
        self
    }
    /// Text on standard input.
    pub fn stdin(mut self, text: &str) -> Self {
        text.clone_into(&mut self.stdin);
        self
    }
    /// A variable.
    pub fn env(mut self, name: &str, value: impl AsRef<std::ffi::OsStr>) -> Self {
        self.command.env(name, value);
        self
    }

    /// Runs it, whatever comes.
    pub fn out(mut self) -> Out {
        self.command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = self.command.spawn().unwrap();
        // A command that does not read its input closes the pipe; that is its right.
        let _ = child.stdin.take().unwrap().write_all(self.stdin.as_bytes());
        let out = child.wait_with_output().unwrap();
        Out {
            stdout: String::from_utf8(out.stdout).unwrap(),
            stderr: String::from_utf8(out.stderr).unwrap(),
            code: out.status.code().unwrap_or(-1),
            shown: self.shown,
        }
    }

    /// Runs it and wants an answer, whatever its verdict.
    pub fn answers(self) -> Out {
        let out = self.out();
        assert!(
            (0..=2).contains(&out.code) && out.stderr.is_empty(),
            "{}: exit {}\n{}",
            out.shown,
            out.code,
            out.stderr
        );
        out
    }

    /// Runs it and wants this exit code and, for 3 and 4, nothing on standard output.
    pub fn exits(self, code: i32) -> Out {
        let out = self.out();
        assert_eq!(out.code, code, "{}\n--- stdout\n{}\n--- stderr\n{}", out.shown, out.stdout, out.stderr);
        if code >= 3 {
            assert_eq!(out.stdout, "", "{}: a failure prints nothing on standard output", out.shown);
        } else {
            assert_eq!(out.stderr, "", "{}: an answer prints nothing on standard error", out.shown);
        }
        out
    }
}

impl Out {
    /// Standard output as JSON; wants the schema.
    pub fn json(&self, schema: &str) -> serde_json::Value {
        let value: serde_json::Value = serde_json::from_str(&self.stdout)
            .unwrap_or_else(|e| panic!("{}: {e}\n{}", self.shown, self.stdout));
        assert_eq!(value["schema"], schema, "{}", self.shown);
        value
    }
    /// Standard error as the JSON of a refusal.
    pub fn refusal(&self) -> serde_json::Value {
        let value: serde_json::Value = serde_json::from_str(&self.stderr)
            .unwrap_or_else(|e| panic!("{}: {e}\n{}", self.shown, self.stderr));
        assert_eq!(value["schema"], "tailrope.error/1");
        assert!(value["error"].as_str().is_some_and(|e| !e.is_empty()));
        value
    }
    /// Wants no line of standard error wider than `columns`.
    pub fn complains_no_wider_than(self, columns: usize) -> Self {
        for line in self.stderr.lines() {
            assert!(line.chars().count() <= columns, "{}: too wide: {line:?}", self.shown);
        }
        self
    }
    /// Wants all of these in standard output.
    pub fn says(self, parts: &[&str]) -> Self {
        for part in parts {
            assert!(self.stdout.contains(part), "{}: no {part:?} in\n{}", self.shown, self.stdout);
        }
        self
    }
    /// Wants all of these in standard output, wherever its lines are broken.
    pub fn reads(self, parts: &[&str]) -> Self {
        let flat = self.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in parts {
            assert!(flat.contains(part), "{}: no {part:?} in\n{}", self.shown, self.stdout);
        }
        self
    }
    /// Wants all of these in standard error, wherever its lines are broken.
    pub fn complains(self, parts: &[&str]) -> Self {
        let flat = self.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in parts {
            assert!(
                flat.contains(part) || self.stderr.contains(part),
                "{}: no {part:?} in\n{}",
                self.shown,
                self.stderr
            );
        }
        self
    }
    /// Wants no line wider than `columns`.
    pub fn no_wider_than(self, columns: usize) -> Self {
        for line in self.stdout.lines() {
            assert!(line.chars().count() <= columns, "{}: too wide: {line:?}", self.shown);
        }
        self
    }
}
