//! A stream whose peer must keep taking what is written: the other half of the header timer.

use std::io;
use std::pin::Pin;
use std::task::{Context, Poll, ready};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio::time::{Sleep, sleep};

/// A TCP stream that fails a write once the peer has taken no byte for `limit`.
pub(super) struct WriteStall {
    stream: TcpStream,
    limit: Duration,
    /// Runs only while a write is waiting.
    waiting: Option<Pin<Box<Sleep>>>,
}

impl WriteStall {
    pub(super) fn of(stream: TcpStream, limit: Duration) -> Self {
        Self { stream, limit, waiting: None }
    }

    /// Passes a finished write on and stops the timer; starts it, or asks it, while the write waits.
    fn watched(&mut self, write: Poll<io::Result<usize>>, cx: &mut Context<'_>) -> Poll<io::Result<usize>> {
        if write.is_ready() {
            self.waiting = None;
            return write;
        }
        let limit = self.limit;
        let timer = self.waiting.get_or_insert_with(|| Box::pin(sleep(limit)));
        ready!(timer.as_mut().poll(cx));
        Poll::Ready(Err(io::Error::new(
            io::ErrorKind::TimedOut,
            say!("the peer takes no more of its answer"),
        )))
    }
}

impl AsyncRead for WriteStall {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(cx, buffer)
    }
}

impl AsyncWrite for WriteStall {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        let write = Pin::new(&mut self.stream).poll_write(cx, bytes);
        self.watched(write, cx)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        slices: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let write = Pin::new(&mut self.stream).poll_write_vectored(cx, slices);
        self.watched(write, cx)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}
