//! `open`: serves the desk of a site on this machine until it is ended.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::process::{Command, Stdio};

use clap::Args;
use serde_json::json;
use web::{Desk, Face, Keys};

use crate::desk::OnDisk;
use crate::disk::{SECRET_BYTES, is_site, read_bytes, read_secret};
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
    /// Address to listen on, for other machines too; then certificate, key and password file are needed. Without it the desk answers
    /// this machine alone.
    #[arg(long, value_name = "ADDRESS")]
    listen: Option<IpAddr>,
    /// Name under which other machines reach it; may stand several times.
    #[arg(long, value_name = "NAME")]
    name: Vec<String>,
    /// Certificate (PEM) for an encrypted line.
    #[arg(long, value_name = "FILE")]
    certificate: Option<PathBuf>,
    /// Private key (PEM) of the certificate.
    #[arg(long, value_name = "FILE")]
    key: Option<PathBuf>,
    /// File whose first line is the password that the desk asks for.
    #[arg(long, value_name = "FILE")]
    password_file: Option<PathBuf>,
    /// Only print the address.
    #[arg(long)]
    no_browser: bool,
}

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    is_site(&options.site)?;
    let secrets = secrets(options)?;
    let own = IpAddr::from(Ipv4Addr::LOCALHOST);
    let ip = options.listen.unwrap_or(own);
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_io().enable_time().build()?;
    runtime.block_on(async {
        let address = SocketAddr::from((ip, options.port));
        let listener = tokio::net::TcpListener::bind(address)
            .await
            .map_err(|e| Failure::Usage(format!("port {} cannot be used: {e}; --port names another", options.port)))?;
        let here = listener.local_addr()?;
        let (face, at, who) = match &secrets {
            None => (Face::own(here.port()), format!("http://{here}/"), "this machine alone"),
            Some(secrets) => {
                let face = Face::beyond(ip, here.port(), &options.name, secrets.keys())
                    .map_err(|wrong| Failure::Usage(format!("the desk cannot be opened: {}", wrong.join("; "))))?;
                let name = options.name.first().map_or_else(|| here.to_string(), |name| format!("{name}:{}", here.port()));
                (face, format!("https://{name}/"), "whoever knows the password")
            }
        };
        if common.json {
            say::line(json!({ "address": at }))?;
        } else {
            say::line(format_args!("the desk of {} is open at {at}\nit answers {who}; end it with Ctrl-C", options.site.display()))?;
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
        web::serve(Desk::new(Box::new(OnDisk::new(&options.site, common.date.clone()))), listener, face, async {
            let _ = end.await;
        })
        .await;
        Ok::<(), Failure>(())
    })?;
    // A position that is being worked out ahead is nothing to wait for.
    runtime.shutdown_background();
    Ok(End::Good)
}

/// What it takes to be reached beyond this machine.
struct Secrets {
    certificate: Vec<u8>,
    key: Vec<u8>,
    password: String,
}

impl Secrets {
    fn keys(&self) -> Keys<'_> {
        Keys { certificate: &self.certificate, key: &self.key, password: &self.password }
    }
}

/// Certificate, key and password; `None` where the desk answers this machine alone and none is given.
///
/// # Errors
/// When it is to listen beyond this machine without all three, or one cannot be read.
fn secrets(options: &Options) -> Result<Option<Secrets>, Failure> {
    let beyond = options.listen.is_some_and(|ip| !ip.is_loopback());
    let given = [("--certificate", &options.certificate), ("--key", &options.key), ("--password-file", &options.password_file)];
    let missing: Vec<&str> = given.iter().filter(|(_, file)| file.is_none()).map(|(name, _)| *name).collect();
    let (Some(certificate), Some(key), Some(password)) = (&options.certificate, &options.key, &options.password_file) else {
        if beyond || missing.len() < given.len() {
            return Err(Failure::Usage(format!(
                "whoever reaches the desk can change the site: beyond this machine it is opened only with an encrypted line and a password; missing: {}",
                missing.join(", ")
            )));
        }
        return Ok(None);
    };
    let (certificate, key, password) = (read_bytes(certificate, SECRET_BYTES)?, read_secret(key)?, read_secret(password)?);
    let password = String::from_utf8_lossy(&password).lines().next().unwrap_or_default().trim().to_owned();
    Ok(Some(Secrets { certificate, key, password }))
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
