//! The committed header is what the sources say.
//!
//! After a change of a call: `WRACKLINE_HEADER=write cargo test -p wrackline-c --test c_header`.

use std::path::Path;

#[test]
fn the_header_is_what_the_sources_say() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let config = cbindgen::Config::from_file(folder.join("cbindgen.toml")).unwrap();
    let builder = cbindgen::Builder::new()
        .with_config(config)
        .with_src(folder.join("src/lib.rs"));
    let mut made = Vec::new();
    builder.generate().unwrap().write(&mut made);
    let made = String::from_utf8(made).unwrap();
    let path = folder.join("include/wrackline.h");
    if std::env::var_os("WRACKLINE_HEADER").is_some_and(|word| word == "write") {
        std::fs::write(&path, &made).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap();
    for (line, (committed, made)) in committed.lines().zip(made.lines()).enumerate() {
        assert_eq!(committed, made, "line {} of {}", line + 1, path.display());
    }
    assert_eq!(committed, made);
}
