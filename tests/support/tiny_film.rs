//! A film as small as one can be: one picture, once a second, for as long as is wanted. WebM, which is EBML (RFC 8794)
//! with the elements of Matroska (RFC 9559), holding VP8 (RFC 6386).

use super::browser::Page;

/// Width and height of the picture.
const SIZE: (u64, u64) = (64, 36);
/// Seconds of one cluster.
const CLUSTER: u64 = 10;

/// A film of so many seconds. The picture is drawn and packed by the browser: a lossy WebP picture is one VP8 frame.
pub fn tiny_film(page: &Page, seconds: u64) -> Vec<u8> {
    let frame = vp8(&picture(page));
    let clusters: Vec<Vec<u8>> = (0..seconds)
        .step_by(10)
        .map(|from| cluster(from, (from + CLUSTER).min(seconds), &frame))
        .collect();
    let head = [info(seconds), tracks()].concat();
    // The index stands before what it points at; every number in it has eight bytes, so its length is known.
    let index_length = cues(&clusters, 0).len();
    let index = cues(&clusters, head.len() + index_length);
    let segment = [head, index, clusters.concat()].concat();
    [header(), element(0x1853_8067, &segment)].concat()
}

fn picture(page: &Page) -> Vec<u8> {
    let (width, height) = SIZE;
    let bytes = page.eval(&format!(
        "(async () => {{
            const canvas = document.createElement('canvas');
            [canvas.width, canvas.height] = [{width}, {height}];
            const paint = canvas.getContext('2d', {{alpha: false}});
            paint.fillStyle = '#0b2a4a';
            paint.fillRect(0, 0, canvas.width, canvas.height);
            const blob = await new Promise((done) => canvas.toBlob(done, 'image/webp', 0.4));
            return Array.from(new Uint8Array(await blob.arrayBuffer()));
        }})()"
    ));
    let bytes = bytes.as_array().expect("bytes").iter();
    bytes
        .map(|byte| {
            byte.as_u64()
                .and_then(|byte| u8::try_from(byte).ok())
                .expect("a byte")
        })
        .collect()
}

/// The frame inside a lossy WebP picture: the chunk `VP8 ` of a RIFF file.
fn vp8(webp: &[u8]) -> Vec<u8> {
    let mut rest = &webp[12..];
    while let [a, b, c, d, w, x, y, z, after @ ..] = rest {
        let length = u32::from_le_bytes([*w, *x, *y, *z]) as usize;
        if [*a, *b, *c, *d] == *b"VP8 " {
            return after[..length].to_vec();
        }
        rest = &after[length + length % 2..];
    }
    panic!("no lossy picture");
}

fn header() -> Vec<u8> {
    let words = [
        number(0x4286, 1),
        number(0x42F7, 1),
        number(0x42F2, 4),
        number(0x42F3, 8),
        element(0x4282, b"webm"),
        number(0x4287, 2),
        number(0x4285, 2),
    ];
    element(0x1A45_DFA3, &words.concat())
}

/// Times are in thousandths of a second.
fn info(seconds: u64) -> Vec<u8> {
    let length = seconds as f64 * 1000.0;
    let words = [
        number(0x002A_D7B1, 1_000_000),
        element(0x4489, &length.to_be_bytes()),
        element(0x4D80, b"test"),
        element(0x5741, b"test"),
    ];
    element(0x1549_A966, &words.concat())
}

fn tracks() -> Vec<u8> {
    let video = [number(0xB0, SIZE.0), number(0xBA, SIZE.1)].concat();
    let track = [
        number(0xD7, 1),
        number(0x73C5, 1),
        number(0x9C, 0),
        number(0x83, 1),
        element(0x86, b"V_VP8"),
        element(0xE0, &video),
    ];
    element(0x1654_AE6B, &element(0xAE, &track.concat()))
}

/// Where each cluster stands, so that the browser finds a moment.
fn cues(clusters: &[Vec<u8>], first: usize) -> Vec<u8> {
    let mut at = first;
    let mut points = Vec::new();
    for (index, cluster) in clusters.iter().enumerate() {
        let place = [number(0xF7, 1), number(0xF1, at as u64)].concat();
        let time = index as u64 * CLUSTER * 1000;
        let point = [number(0xB3, time), element(0xB7, &place)].concat();
        points.extend(element(0xBB, &point));
        at += cluster.len();
    }
    element(0x1C53_BB6B, &points)
}

fn cluster(from: u64, to: u64, frame: &[u8]) -> Vec<u8> {
    let mut words = number(0xE7, from * 1000);
    for second in 0..to - from {
        let after = u16::try_from(second * 1000)
            .expect("a short cluster")
            .to_be_bytes();
        // Track 1, the time since the cluster's, a key frame.
        words.extend(element(
            0xA3,
            &[&[0x81, after[0], after[1], 0x80], frame].concat(),
        ));
    }
    element(0x1F43_B675, &words)
}

fn number(id: u32, value: u64) -> Vec<u8> {
    element(id, &value.to_be_bytes())
}

/// An element: its id without leading zeroes, its length in eight bytes, its content.
fn element(id: u32, content: &[u8]) -> Vec<u8> {
    let id = id.to_be_bytes().into_iter().skip_while(|byte| *byte == 0);
    let length = (content.len() as u64 | 1 << 56).to_be_bytes();
    id.chain(length).chain(content.iter().copied()).collect()
}
