//! The window in which the program's answers stand. Where a file was dropped on the icon it was opened for the
//! program alone and closes with it: then it is kept until somebody has read what is in it.

use super::args::Args;
use clap::CommandFactory;
use std::ffi::OsString;
use std::io::{IsTerminal, Read, Write, stdin, stdout};

/// How the program was started.
#[derive(Clone, Debug)]
pub struct Started {
    /// What was given to it, its own name first.
    pub words: Vec<OsString>,
    /// The window was opened for it and closes with it.
    pub own_window: bool,
    /// Somebody reads along and can press a key.
    pub watched: bool,
}

impl Started {
    /// As this process was.
    pub fn of_process(words: Vec<OsString>) -> Self {
        let watched = stdin().is_terminal() && stdout().is_terminal();
        Self { words, own_window: opened_for_us(), watched }
    }

    /// Whether the window has to be kept open. Who wrote a command into it, or had one written by a launcher,
    /// knows what becomes of it; who clicked or dropped a file wrote none.
    pub fn keeps_window(&self) -> bool {
        self.own_window && self.watched && !self.has_command()
    }

    fn has_command(&self) -> bool {
        let Some(first) = self.words.get(1).map(|word| word.to_string_lossy()) else { return false };
        let program = Args::command();
        first.starts_with('-') || first == "help" || program.get_subcommands().any(|c| c.get_name() == first)
    }
}

/// Waits until somebody has read what is there.
pub fn wait() {
    print!("\nPress Enter to close this window.");
    // Nobody is left to tell if this window cannot be written to, or has gone.
    let _ = stdout().flush();
    let mut typed = [0];
    while stdin().read(&mut typed).is_ok_and(|count| count > 0) && typed != *b"\n" {}
}

/// On Windows it is the file manager that starts what is clicked or dropped on, and nothing else does.
#[cfg(windows)]
fn opened_for_us() -> bool {
    use winsafe::{HPROCESSLIST, co::TH32CS};
    let parent = || {
        let ours = std::process::id();
        let mut all = HPROCESSLIST::CreateToolhelp32Snapshot(TH32CS::SNAPPROCESS, None).ok()?;
        let mut processes = Vec::new();
        for process in all.iter_processes() {
            let process = process.ok()?;
            processes.push((process.th32ProcessID, process.th32ParentProcessID, process.szExeFile()));
        }
        let (_, parent, _) = processes.iter().find(|(id, ..)| *id == ours)?;
        processes.iter().find(|(id, ..)| id == parent).map(|(.., name)| name.to_lowercase())
    };
    parent().is_some_and(|name| name == "explorer.exe")
}

/// Elsewhere a terminal that was opened for one program has that program lead its session; else a shell does.
/// A leader outside the container that the program runs in is told as 0 (getsid(2), pid_namespaces(7)), for which
/// `rustix` has no value.
#[cfg(unix)]
fn opened_for_us() -> bool {
    use nix::unistd::{getpid, getsid};
    getsid(None).is_ok_and(|leader| leader == getpid())
}

#[cfg(not(any(windows, unix)))]
fn opened_for_us() -> bool {
    false
}

#[cfg(test)]
mod tests {
    use super::Started;

    fn kept(words: &[&str], own_window: bool, watched: bool) -> bool {
        let words = words.iter().map(Into::into).collect();
        Started { words, own_window, watched }.keeps_window()
    }

    #[test]
    fn a_window_of_its_own_stays_after_a_file_was_dropped_or_the_icon_clicked() {
        for words in [
            &["lidcard"][..],
            &["lidcard", "boats/newt.yaml"],
            &["lidcard", "a.yaml", "b.yaml"],
            &["lidcard", "photo.jpg"],
        ] {
            assert!(kept(words, true, true), "{words:?}");
        }
    }

    #[test]
    fn a_window_that_was_there_before_or_that_nobody_reads_is_not_kept() {
        for (own, watched) in [(false, true), (true, false), (false, false)] {
            assert!(!kept(&["lidcard", "newt.yaml"], own, watched));
        }
    }

    #[test]
    fn who_wrote_a_command_gets_the_window_back() {
        for words in [
            &["lidcard", "check", "newt.yaml"][..],
            &["lidcard", "card"],
            &["lidcard", "help"],
            &["lidcard", "--version"],
        ] {
            assert!(!kept(words, true, true), "{words:?}");
        }
    }
}
