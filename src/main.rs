//! Starts the app in the page that loaded it.

fn main() {
    console_error_panic_hook::set_once();
    brimwise::app::start();
}
