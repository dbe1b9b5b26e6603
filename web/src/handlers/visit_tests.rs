//! A whole visit through the application, without a socket.
