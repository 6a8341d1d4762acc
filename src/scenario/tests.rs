use super::*;
#[test]
fn show() {
    for n in built_in_names() {
        match built_in(n) {
            Ok(l) => {
                println!("{:#?}", l.scenario);
                println!("{}", crate::diagnostic::render(&l.warnings, false));
            }
            Err(p) => println!("{}", crate::diagnostic::render(&p, false)),
        }
    }
    let (mut a, mut b) = (Vec::new(), Vec::new());
    for n in ["larch-flats", "heater-box", "single"] {
        crate::commands::check::run(n, false, false, &mut a, &mut b).unwrap();
    }
    println!("{}", String::from_utf8(a).unwrap());
}
