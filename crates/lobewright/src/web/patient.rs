//! A line that is given up where whoever is at its other end takes nothing for too long. Reading has
//! its limits elsewhere: of a handshake, of a request's head, of its body.

use std::io::{self, ErrorKind, IoSlice};
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Sleep, sleep};

/// The line, and how long an answer may be stuck in it.
pub(super) struct Patient<S> {
    line: S,
    most: Duration,
    stuck: Option<Pin<Box<Sleep>>>,
}

impl<S> Patient<S> {
    pub(super) const fn new(line: S, most: Duration) -> Self {
        Self { line, most, stuck: None }
    }

    /// What came of an attempt to send: one that does not go on has its time from now.
    fn waited<T>(
        &mut self,
        tried: Poll<io::Result<T>>,
        context: &mut Context<'_>,
    ) -> Poll<io::Result<T>> {
        if tried.is_ready() {
            self.stuck = None;
            return tried;
        }
        let most = self.most;
        let stuck = self.stuck.get_or_insert_with(|| Box::pin(sleep(most)));
        match stuck.as_mut().poll(context) {
            Poll::Ready(()) => Poll::Ready(Err(ErrorKind::TimedOut.into())),
            Poll::Pending => Poll::Pending,
        }
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Patient<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.line).poll_read(context, into)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Patient<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let tried = Pin::new(&mut self.line).poll_write(context, bytes);
        self.waited(tried, context)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let tried = Pin::new(&mut self.line).poll_flush(context);
        self.waited(tried, context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let tried = Pin::new(&mut self.line).poll_shutdown(context);
        self.waited(tried, context)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let tried = Pin::new(&mut self.line).poll_write_vectored(context, bytes);
        self.waited(tried, context)
    }

    fn is_write_vectored(&self) -> bool {
        self.line.is_write_vectored()
    }
}
