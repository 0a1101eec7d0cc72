//! SHA-256 against another implementation.

use groundlore_book::sha256::hex;

/// (id, source, message, digest). Messages round the padding boundary at 55, 56, 63, 64 and 119 bytes are the letter `a` repeated.
const ROWS: &[(&str, &str, (&str, usize), &str)] = &[
    ("empty", "Python 3 hashlib (OpenSSL)", ("a", 0), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
    ("one block", "Python 3 hashlib (OpenSSL)", ("abc", 1), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (
        "two blocks",
        "Python 3 hashlib (OpenSSL)",
        ("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 1),
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    ("55 letters", "Python 3 hashlib (OpenSSL)", ("a", 55), "9f4390f8d30c2dd92ec9f095b65e2b9ae9b0a925a5258e241c9f1e910f734318"),
    ("56 letters", "Python 3 hashlib (OpenSSL)", ("a", 56), "b35439a4ac6f0948b6d6f9e3c6af0f5f590ce20f1bde7090ef7970686ec6738a"),
    ("57 letters", "Python 3 hashlib (OpenSSL)", ("a", 57), "f13b2d724659eb3bf47f2dd6af1accc87b81f09f59f2b75e5c0bed6589dfe8c6"),
    ("63 letters", "Python 3 hashlib (OpenSSL)", ("a", 63), "7d3e74a05d7db15bce4ad9ec0658ea98e3f06eeecf16b4c6fff2da457ddc2f34"),
    ("64 letters", "Python 3 hashlib (OpenSSL)", ("a", 64), "ffe054fe7ae0cb6dc65c3af9b61d5209f439851db43d0ba5997337df154668eb"),
    ("65 letters", "Python 3 hashlib (OpenSSL)", ("a", 65), "635361c48bb9eab14198e76ea8ab7f1a41685d6ad62aa9146d301d4f17eb0ae0"),
    ("119 letters", "Python 3 hashlib (OpenSSL)", ("a", 119), "31eba51c313a5c08226adf18d4a359cfdfd8d2e816b13f4af952f7ea6584dcfb"),
    ("120 letters", "Python 3 hashlib (OpenSSL)", ("a", 120), "2f3d335432c70b580af0e8e1b3674a7c020d683aa5f73aaaedfdc55af904c21c"),
    ("1000 letters", "Python 3 hashlib (OpenSSL)", ("a", 1000), "41edece42d63e8d9bf515a9ba6932e1c20cbc9f5a5d134645adb5db1b9737ea3"),
    ("1000000 letters", "Python 3 hashlib (OpenSSL)", ("a", 1000000), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
    (
        "German words",
        "Python 3 hashlib (OpenSSL)",
        ("Grüße aus dem Garten", 1),
        "bdc636cd8487d780ba76e6d58773666fd054f4988a5ec0465c0c64eca73e9797",
    ),
];

#[test]
fn digests_are_those_of_another_implementation() {
    for (id, source, (text, times), expected) in ROWS {
        assert_eq!(hex(text.repeat(*times).as_bytes()), *expected, "{id} ({source})");
    }
}
