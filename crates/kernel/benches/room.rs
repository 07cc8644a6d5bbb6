//! How long the room of a rotor takes: four states round the orbit, both faces, tips and outline.
fn main() {
    divan::main();
}
