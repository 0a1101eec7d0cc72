//! Rebuild when a lore file is added, changed or taken away (the files are embedded in the crate).

fn main() {
    println!("cargo:rerun-if-changed=../../lore");
}
