//! What another app shares waits for the read place, text and picture alike.

use browser_tests::{json, on_phone};

const SHARE: &str = "
    const [text, file] = arguments;
    const form = new FormData();
    form.set('title', '');
    if (text) form.set('text', text);
    if (file) form.append('files', new File([file.body], file.name, { type: file.type }));
    return fetch('/share', { method: 'POST', body: form })
        .then(async (answer) => {
            const cache = await caches.open('faultleaf-shared');
            const kept = [];
            for (const key of await cache.keys()) {
                const part = await cache.match(key);
                kept.push([part.headers.get('content-type'), await part.text()]);
            }
            return { to: answer.url.replace(location.origin, ''), kept };
        });";

#[test]
fn shared_text_is_parked_and_the_read_place_opens() {
    on_phone(async |page| {
        page.open("/about").await?;
        page.ready_offline().await?;
        let done = page
            .run(SHARE, &[json!("slot 07  step 0A"), json!(null)])
            .await?;
        assert_eq!(done["to"], "/read?shared=1");
        assert_eq!(
            done["kept"],
            json!([["text/plain;charset=utf-8", "slot 07  step 0A"]])
        );
        Ok(())
    });
}

#[test]
fn a_shared_file_comes_before_its_name_and_replaces_an_earlier_share() {
    on_phone(async |page| {
        page.open("/about").await?;
        page.ready_offline().await?;
        page.run(SHARE, &[json!("old"), json!(null)]).await?;
        let file = json!({ "body": "picture", "name": "log.png", "type": "image/png" });
        let done = page.run(SHARE, &[json!("log.png"), file]).await?;
        assert_eq!(
            done["kept"],
            json!([
                ["image/png", "picture"],
                ["text/plain;charset=utf-8", "log.png"]
            ])
        );
        Ok(())
    });
}

/// The file manager hands over files through the launch queue, which a test can
/// only stand in for.
#[test]
fn a_file_opened_with_the_app_is_read() {
    on_phone(async |page| {
        page.before_load(
            "if (!location.search.includes('shared')) {
                window.launchQueue = undefined;
                Object.defineProperty(window, 'launchQueue', { value: {
                    setConsumer: (take) => take({ files: [{
                        getFile: async () => new File(
                            ['slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01'],
                            'log.txt', { type: 'text/plain' }),
                    }] }),
                } });
            }",
        )
        .await?;
        page.go("/read").await?;
        page.sees("1 entry").await?;
        Ok(())
    });
}
