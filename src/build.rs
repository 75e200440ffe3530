//! Builds again when a file that the binary holds is added, which the compiler alone would not see.

fn main() {
    for folder in ["migrations", "static", "demo-cases"] {
        println!("cargo::rerun-if-changed={folder}");
    }
}
