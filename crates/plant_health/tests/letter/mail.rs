//! Letters that come as mail: what is read of them, and what is left aside.

use groundlore_plant_health::letter::LetterError;
use groundlore_plant_health::letter::mail::{read_mail, read_mailbox};
use groundlore_plant_health::letter::parse;

const WITH_PHOTO: &str = "From: \"C. Alder\" <C.Alder@Example.org>\r\nTo: office@example.org\r\nDate: Tue, 18 Aug 2015 23:30:00 -0500\r\nSubject: Re: Re: The lawn\r\nMIME-Version: 1.0\r\nContent-Type: multipart/mixed; boundary=\"x\"\r\n\r\n--x\r\nContent-Type: text/plain; charset=utf-8\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\nBrown patches, no grubs =E2=80=93 I looked.\r\n\r\nOn 10 August 2015 the office wrote:\r\n> have you seen moths?\r\n--x\r\nContent-Type: image/png; name=\"../../lawn.png\"\r\nContent-Disposition: attachment; filename=\"../../lawn.png\"\r\nContent-Transfer-Encoding: base64\r\n\r\niVBORw0KGgoAAAANSUhEUg==\r\n--x\r\nContent-Type: application/pdf\r\nContent-Disposition: attachment; filename=\"bill.pdf\"\r\nContent-Transfer-Encoding: base64\r\n\r\nJVBERi0=\r\n--x\r\nContent-Type: image/jpeg\r\nContent-Disposition: attachment; filename=\"not.jpg\"\r\nContent-Transfer-Encoding: base64\r\n\r\nTVqQAAMA\r\n--x--\r\n";

#[test]
fn a_message_is_read_without_what_it_quotes_and_with_its_photo() {
    let mail = read_mail(WITH_PHOTO.as_bytes(), "lawn.eml").unwrap();
    assert_eq!(mail.letter.text, "The lawn.\n\nBrown patches, no grubs – I looked.");
    assert_eq!(mail.letter.date.unwrap().to_string(), "2015-08-18");
    assert_eq!((mail.from_name.as_deref(), mail.from_address.as_deref()), (Some("C. Alder"), Some("c.alder@example.org")));
    assert_eq!(mail.photos.len(), 1);
    assert_eq!((mail.photos[0].name.as_str(), mail.photos[0].media_type.as_str()), ("lawn.png", "image/png"), "no folder is kept");
    assert!(mail.letter.remarks.iter().any(|r| r.contains("bill.pdf")) && mail.letter.remarks.iter().any(|r| r.contains("not.jpg")));
    // The same by the reader of single letters.
    assert_eq!(parse(WITH_PHOTO, "lawn.eml").unwrap().text, mail.letter.text);
}

#[test]
fn head_lines_in_the_text_still_count() {
    let mail = read_mail(
        b"From: a@example.org\r\nDate: Tue, 18 Aug 2015 09:00:00 +0000\r\n\r\nYard: Larch Street 4\r\nHost: rose\r\n\r\nBlack spots.\r\n",
        "a.eml",
    )
    .unwrap();
    assert_eq!((mail.letter.yard.as_deref(), mail.letter.host.as_deref()), (Some("Larch Street 4"), Some("rose")));
}

#[test]
fn a_mailbox_gives_each_message_and_names_what_it_cannot_read() {
    let mailbox = "From a@example.org Tue Aug 18 09:00:00 2015\nFrom: a@example.org\nDate: Tue, 18 Aug 2015 09:00:00 +0000\n\nMoths by day.\n\nFrom b@example.org Tue Aug 18 10:00:00 2015\nFrom: b@example.org\nDate: Tue, 18 Aug 2015 10:00:00 +0000\nSubject: \n\n\n";
    let read = read_mailbox(mailbox.as_bytes(), "in.mbox");
    assert_eq!(read.len(), 2);
    assert_eq!(read[0].1.as_ref().unwrap().letter.text, "Moths by day.");
    let error = read[1].1.as_ref().unwrap_err();
    assert!(matches!(error, LetterError::Empty { .. }) && error.to_string().contains("message 2"), "{error}");
    let error = parse(mailbox, "in.mbox").unwrap_err().to_string();
    assert!(error.contains("--inbox"), "{error}");
}

#[test]
fn what_is_no_mail_is_refused_and_no_byte_makes_it_panic() {
    for bytes in [&b""[..], b"just words\nand more words\n", b"\x00\x01\x02", b"Subject"] {
        assert!(read_mail(bytes, "x.eml").is_err(), "{bytes:?}");
    }
    for cut in 0..WITH_PHOTO.len() {
        if WITH_PHOTO.is_char_boundary(cut) {
            let _ = read_mail(&WITH_PHOTO.as_bytes()[..cut], "cut.eml");
        }
    }
}
