use super::swap::exchange_in_steps;
use super::*;

fn answer(place: &Path, files: &[(&str, &str)]) -> Result<(), OutputError> {
    let out = Output::begin(place)?;
    for (name, text) in files {
        out.put(name, text.as_bytes()).unwrap();
    }
    out.finish()
}

fn names(folder: &Path) -> Vec<String> {
    let mut all: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    all.sort_unstable();
    all
}

/// Catches files of the answer before that stay, drafts left beside, and a folder that is no longer there while it is replaced.
#[test]
fn one_answer_takes_the_place_of_the_one_before() {
    let dir = tempfile::tempdir().unwrap();
    let place = dir.path().join("deep/out");
    answer(&place, &[("result.json", "1"), ("trace-1990-91.csv", "a")]).unwrap();
    answer(&place, &[("result.json", "2")]).unwrap();
    assert_eq!(names(&place), [LIST, "result.json"]);
    assert_eq!(fs::read_to_string(place.join("result.json")).unwrap(), "2");
    assert_eq!(names(&dir.path().join("deep")), ["out"]);
}

/// Catches an answer that is given up and leaves something, and the leavings of a killed program that stay, or go while it is at work.
#[test]
fn nothing_is_left_of_what_was_not_finished() {
    let dir = tempfile::tempdir().unwrap();
    let place = dir.path().join("out");
    answer(&place, &[("result.json", "1")]).unwrap();
    let given_up = Output::begin(&place).unwrap();
    given_up.put("result.json", b"2").unwrap();
    let at_work = Output::begin(&place).unwrap();
    assert!(given_up.draft.exists());
    drop((given_up, at_work));
    let killed = dir.path().join(".out.draft-killed");
    fs::create_dir(&killed).unwrap();
    fs::write(killed.join("result.json"), "3").unwrap();
    fs::write(killed.join(LIST), "").unwrap();
    // Killed while its last files went, before its list was made or after it had gone; and what is not known to be a draft.
    let [going, empty, not_known] =
        ["going", "empty", "mine"].map(|n| dir.path().join(format!(".out.draft-{n}")));
    for folder in [&going, &empty, &not_known] {
        fs::create_dir(folder).unwrap();
    }
    fs::write(going.join(LIST), "index.html\nresult.json\n").unwrap();
    fs::write(going.join("result.json"), "5").unwrap();
    fs::write(not_known.join("notes.txt"), "mine").unwrap();
    answer(&place, &[("result.json", "4")]).unwrap();
    assert_eq!(names(dir.path()), [".out.draft-mine", "out"]);
    assert_eq!(fs::read_to_string(place.join("result.json")).unwrap(), "4");
}

/// Catches somebody's own files swapped out of a folder with the answer before, whatever they are called, before the work or after.
#[test]
fn a_folder_with_other_files_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let place = dir.path().join("out");
    let other = |name: &str| {
        fs::write(place.join(name), "mine").unwrap();
        let refused = answer(&place, &[("result.json", "2")]).unwrap_err();
        assert!(refused.to_string().contains(name), "{refused}");
        assert_eq!(fs::read_to_string(place.join(name)).unwrap(), "mine");
        fs::remove_file(place.join(name)).unwrap();
    };
    fs::create_dir(&place).unwrap();
    other("winters.csv");
    answer(&place, &[("result.json", "1")]).unwrap();
    other("my-notes.txt");
    other("winters.csv");
    fs::create_dir(place.join("sub")).unwrap();
    assert!(answer(&place, &[("result.json", "2")]).is_err());
    fs::remove_dir(place.join("sub")).unwrap();
    let out = Output::begin(&place).unwrap();
    out.put("result.json", b"2").unwrap();
    fs::write(place.join("log.csv"), "mine").unwrap();
    assert!(out.finish().unwrap_err().to_string().contains("log.csv"));
    assert_eq!(names(&place), [LIST, "log.csv", "result.json"]);
    assert_eq!(fs::read_to_string(place.join("result.json")).unwrap(), "1");
    assert_eq!(names(dir.path()), ["out"]);
}

/// Catches folders made for an answer that was given up, a new folder open to everybody, and one whose mode is lost.
#[cfg(unix)]
#[test]
fn folders_and_modes_are_as_before() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o1777)).unwrap();
    drop(Output::begin(&dir.path().join("a/b/c")).unwrap());
    assert!(names(dir.path()).is_empty());
    let place = dir.path().join("out");
    let mode = || fs::metadata(&place).unwrap().permissions().mode() & 0o7777;
    answer(&place, &[("result.json", "1")]).unwrap();
    assert_eq!(mode() & 0o1022, 0, "{:o}", mode());
    fs::set_permissions(&place, fs::Permissions::from_mode(0o750)).unwrap();
    answer(&place, &[("result.json", "2")]).unwrap();
    assert_eq!(mode(), 0o750);
}

/// Catches a link replaced by a folder, and one that leads nowhere yet told only after the work.
#[cfg(unix)]
#[test]
fn a_link_leads_to_the_folder() {
    let dir = tempfile::tempdir().unwrap();
    let (link, there) = (dir.path().join("link"), dir.path().join("there"));
    std::os::unix::fs::symlink("there", &link).unwrap();
    for text in ["1", "2"] {
        answer(&link, &[("result.json", text)]).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(there.join("result.json")).unwrap(), text);
    }
    assert_eq!(names(dir.path()), ["link", "there"]);
    assert!(lies_in(&link.join("log.csv"), &there));
    assert!(!lies_in(&dir.path().join("therefore.csv"), &there));
}

/// Catches an answer lost by a kill between two steps, where the system cannot swap in one.
#[test]
fn what_a_kill_between_two_steps_left_comes_back() {
    let dir = tempfile::tempdir().unwrap();
    let place = dir.path().join("out");
    answer(&place, &[("result.json", "1")]).unwrap();
    let draft = Output::begin(&place).unwrap();
    exchange_in_steps(&draft.draft, &place).unwrap();
    assert_eq!(names(&place), [LIST]);
    exchange_in_steps(&draft.draft, &place).unwrap();
    assert_eq!(names(&place), [LIST, "result.json"]);
    drop(draft);
    let before = before(dir.path(), "out");
    fs::rename(&place, &before).unwrap();
    drop(Output::begin(&place).unwrap());
    assert_eq!(fs::read_to_string(place.join("result.json")).unwrap(), "1");
    fs::create_dir(&before).unwrap();
    fs::write(before.join(LIST), "result.json\n").unwrap();
    answer(&place, &[("result.json", "2")]).unwrap();
    assert_eq!(names(dir.path()), ["out"]);
}
