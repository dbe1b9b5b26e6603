//! A stream whose peer must keep its end moving: a timer each for the first byte, the header, the pause between two
//! requests, and a write that nobody takes. The body of a request has its own pace, in the layers.

use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};
use std::task::{Context, Poll, ready};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Sleep, sleep};

use crate::config::HttpLimits;

/// What a connection is waiting for, shared by its stream, which sees bytes, and its service, which sees requests.
#[derive(Clone, Debug, Default)]
pub(super) struct Stage(Arc<AtomicU8>);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum At {
    /// Nothing has come yet.
    Silent,
    /// A header has begun.
    Header,
    /// A request is being answered: whoever answers has timers of their own.
    Work,
    /// The last answer is written.
    Idle,
}

impl Stage {
    /// A header has come whole.
    pub(super) fn works(&self) {
        self.set(At::Work);
    }

    /// The answer has been handed over.
    pub(super) fn is_idle(&self) {
        self.set(At::Idle);
    }

    fn set(&self, at: At) {
        self.0.store(at as u8, Ordering::Relaxed);
    }

    fn at(&self) -> At {
        match self.0.load(Ordering::Relaxed) {
            0 => At::Silent,
            1 => At::Header,
            2 => At::Work,
            _ => At::Idle,
        }
    }
}

/// A stream that fails once its peer has kept it waiting too long.
pub(super) struct Timed<S> {
    stream: S,
    limits: HttpLimits,
    stage: Stage,
    /// Runs while bytes are waited for, and for which stage.
    read: Option<(At, Pin<Box<Sleep>>)>,
    /// Runs only while a write is waiting.
    write: Option<Pin<Box<Sleep>>>,
}

impl<S> Timed<S> {
    pub(super) fn of(stream: S, limits: HttpLimits, stage: Stage) -> Self {
        Self { stream, limits, stage, read: None, write: None }
    }

    /// Bytes have come: where a header was waited for, it has begun.
    fn heard(&mut self) {
        if matches!(self.stage.at(), At::Silent | At::Idle) {
            self.stage.set(At::Header);
            self.read = None;
        }
    }

    /// Asks the timer of what is waited for. It runs on while bytes of a header trickle in.
    fn patience(&mut self, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let at = self.stage.at();
        let Some((limit, say)) = self.limit(at).filter(|_| self.write.is_none()) else {
            self.read = None;
            return Poll::Pending;
        };
        if self.read.as_ref().is_none_or(|(of, _)| *of != at) {
            self.read = Some((at, Box::pin(sleep(limit))));
        }
        match &mut self.read {
            Some((_, timer)) => timer.as_mut().poll(cx).map(|()| Err(timed_out(say))),
            None => Poll::Pending,
        }
    }

    fn limit(&self, at: At) -> Option<(Duration, &'static str)> {
        match at {
            At::Silent => Some((self.limits.first_byte, "the peer says nothing")),
            At::Header => Some((self.limits.header_read, "the header does not end")),
            At::Idle => Some((self.limits.idle, "the peer asks nothing more")),
            At::Work => None,
        }
    }

    /// Passes a finished write on and stops the timer; starts it, or asks it, while the write waits.
    fn watched(&mut self, write: Poll<io::Result<usize>>, cx: &mut Context<'_>) -> Poll<io::Result<usize>> {
        if write.is_ready() {
            if self.write.take().is_some() {
                // The timer of the next header has waited for this; it starts when the stream is read again.
                cx.waker().wake_by_ref();
            }
            return write;
        }
        let limit = self.limits.write_stall;
        let timer = self.write.get_or_insert_with(|| Box::pin(sleep(limit)));
        ready!(timer.as_mut().poll(cx));
        Poll::Ready(Err(timed_out("the peer takes no more of its answer")))
    }
}

fn timed_out(say: &'static str) -> io::Error {
    io::Error::new(io::ErrorKind::TimedOut, say)
}

impl<S: AsyncRead + Unpin> AsyncRead for Timed<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        match Pin::new(&mut self.stream).poll_read(cx, buffer) {
            Poll::Pending => self.patience(cx),
            read @ Poll::Ready(_) => {
                self.heard();
                read
            }
        }
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Timed<S> {
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
        let flush = Pin::new(&mut self.stream).poll_flush(cx).map_ok(|()| 0);
        self.watched(flush, cx).map_ok(drop)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let end = Pin::new(&mut self.stream).poll_shutdown(cx).map_ok(|()| 0);
        self.watched(end, cx).map_ok(drop)
    }
}
