//! `open`: serves the desk of a site on this machine until it is ended.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::process::{Command, Stdio};

use clap::Args;
use serde_json::json;
use web::Desk;

use crate::desk::OnDisk;
use crate::disk::is_site;
use crate::problems::Failure;
use crate::{Common, End, say};

/// Which site, and where.
#[derive(Args, Debug)]
pub(crate) struct Options {
    /// Site folder.
    site: PathBuf,
    /// Port on this machine; any free one when left out.
    #[arg(long, value_name = "N", default_value_t = 0)]
    port: u16,
    /// Only print the address.
    #[arg(long)]
    no_browser: bool,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    is_site(&options.site)?;
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_io().enable_time().build()?;
    runtime.block_on(async {
        // This machine alone: whoever reaches the desk can change the site.
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, options.port));
        let listener = tokio::net::TcpListener::bind(address)
            .await
            .map_err(|e| Failure::Usage(format!("port {} cannot be used: {e}; --port names another", options.port)))?;
        let at = format!("http://{}/", listener.local_addr()?);
        if common.json {
            say::line(json!({ "address": at }))?;
        } else {
            say::line(format_args!(
                "the desk of {} is open at {at}\nit answers this machine alone; end it with Ctrl-C",
                options.site.display()
            ))?;
        }
        if !options.no_browser {
            show(&at);
        }
        let (ended, end) = tokio::sync::oneshot::channel();
        let mut ended = Some(ended);
        ctrlc::set_handler(move || {
            if let Some(ended) = ended.take() {
                let _ = ended.send(());
            }
        })
        .map_err(|e| Failure::Usage(format!("the key that ends it cannot be watched: {e}")))?;
        web::serve(Desk::new(Box::new(OnDisk::new(&options.site, common.date.clone()))), listener, async {
            let _ = end.await;
        })
        .await?;
        Ok::<(), Failure>(())
    })?;
    // A position that is being worked out ahead is nothing to wait for.
    runtime.shutdown_background();
    Ok(End::Good)
}

/// Asks the system to show an address; where it cannot, the address stands in the window.
fn show(address: &str) {
    let mut command = match std::env::consts::OS {
        "windows" => {
            let mut command = Command::new("cmd");
            command.args(["/C", "start", ""]);
            command
        }
        "macos" => Command::new("open"),
        _ => Command::new("xdg-open"),
    };
    let _ = command.arg(address).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
}
